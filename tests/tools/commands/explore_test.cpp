#include <catch2/catch.hpp>

#include "results/files/file.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

void make_run(const std::filesystem::path& folder) {
  const ProgramResult found =
      run_sixtyfold({"find", "--group", "I,T,D5", "--budget", "6000", "--seed", "4", "--count", "2",
                     "--out", "run", "--quiet"},
                    folder);
  INFO(found.err);
  REQUIRE(found.status == 0);
}

}  // namespace

TEST_CASE("a map is wandered over in a browser, and its picks are the run's own",
          "[explore][browser]") {
  const ScratchFolder scratch;
  make_run(scratch.path());
  const ProgramResult made = run_sixtyfold({"explore", "run"}, scratch.path());
  INFO(made.err);
  REQUIRE(made.status == 0);
  const ProgramResult browsed = run_program(
      {"python3", source_folder() + "/tests/support/browse_map.py", "run/map.html", "run", "."},
      scratch.path());
  INFO(browsed.out << browsed.err);
  CHECK(browsed.status == 0);
}

TEST_CASE("a map is the same bytes at any number of threads and asks nothing of a network",
          "[explore]") {
  const ScratchFolder scratch;
  make_run(scratch.path());
  for (const char* const threads : {"1", "2"})
    REQUIRE(run_sixtyfold({"explore", "run", "--threads", threads, "--out",
                           std::string("map-") + threads + ".html"},
                          scratch.path())
                .status == 0);
  const std::string page = read_file(scratch.path() / "map-1.html");
  CHECK(page == read_file(scratch.path() / "map-2.html"));
  CHECK(page.find("default-src 'none'") != std::string::npos);
  CHECK(page.find("{{") == std::string::npos);
  for (const char* const outside : {"src=", "@import", "url(", "fetch(", "XMLHttpRequest", "http:"})
    CHECK(page.find(outside) == std::string::npos);
  // Fewer when asked, and the best of them.
  REQUIRE(run_sixtyfold({"explore", "run", "--most", "7", "--out", "seven.html"}, scratch.path())
              .status == 0);
  CHECK(read_file(scratch.path() / "seven.html").find("\"count\":7,") != std::string::npos);
}

TEST_CASE("what is no run is refused and leaves no page", "[explore][mistakes]") {
  const ScratchFolder scratch;
  const ProgramResult nothing = run_sixtyfold({"explore", "nowhere"}, scratch.path());
  CHECK(nothing.status == 2);
  CHECK(nothing.err.rfind("sixtyfold: ", 0) == 0);
  make_run(scratch.path());
  std::string state = read_file(scratch.path() / "run/finds.state");
  state[state.size() / 2] = static_cast<char>(state[state.size() / 2] ^ 1);
  write_file(scratch.path() / "run/finds.state", state);
  const ProgramResult damaged = run_sixtyfold({"explore", "run"}, scratch.path());
  CHECK(damaged.status == 2);
  CHECK(damaged.err.rfind("sixtyfold: ", 0) == 0);
  CHECK_FALSE(std::filesystem::exists(scratch.path() / "run/map.html"));
}
