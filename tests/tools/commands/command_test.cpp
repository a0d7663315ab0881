#include "tools/commands/command.h"

#include <catch2/catch.hpp>

#include "tests/support/run_program.h"

using namespace sixtyfold;

TEST_CASE("a mistake on the command line is one line and status 2", "[command]") {
  const std::vector<std::vector<std::string>> mistakes = {
      {}, {"no_such_command"}, {"--no-such-option"}, {"check"}, {"check", "--no-such-option"}};
  for (const auto& arguments : mistakes) {
    const ProgramResult result = run_sixtyfold(arguments);
    CAPTURE(arguments, result.err);
    CHECK(result.status == 2);
    CHECK(result.out.empty());
    CHECK_THAT(result.err, Catch::StartsWith("sixtyfold: ") && Catch::Contains("--help"));
    CHECK(result.err.find('\n') == result.err.size() - 1);
  }
}

TEST_CASE("help and version go to standard output", "[command]") {
  const ProgramResult help = run_sixtyfold({"--help"});
  CHECK(help.status == 0);
  CHECK(help.err.empty());
  CHECK_THAT(help.out, Catch::Contains("check") && Catch::Contains("Exit status"));
  CHECK_THAT(run_sixtyfold({"check", "--help"}).out,
             Catch::Contains("Examples:\n  sixtyfold check"));
  CHECK_THAT(run_sixtyfold({"--version"}).out, Catch::Contains("0."));
}

TEST_CASE("a full disk is trouble, not success", "[command]") {
  // /dev/full refuses every write (Linux full(4)).
  const ProgramResult result = run_program({"sh", "-c", program_path() + " --help >/dev/full"});
  CHECK(result.status == 4);
}
