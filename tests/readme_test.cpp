// What the README prints works: its links lead somewhere and its commands run.
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

const std::filesystem::path source = source_folder();

std::vector<std::string> read_lines(const std::string& name) {
  std::vector<std::string> lines;
  std::ifstream stream(source / name);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  REQUIRE(!lines.empty());
  return lines;
}

/// Lines inside ```sh fences.
std::vector<std::string> find_commands(const std::string& name) {
  std::vector<std::string> commands;
  bool inside = false;
  for (const std::string& line : read_lines(name)) {
    if (line.rfind("```", 0) == 0)
      inside = line == "```sh";
    else if (inside && !line.empty())
      commands.push_back(line);
  }
  return commands;
}

}  // namespace

TEST_CASE("the README has exactly two set-up commands", "[readme]") {
  std::vector<std::string> set_up;
  for (const std::string& command : find_commands("README.md"))
    if (command.rfind("build/sixtyfold", 0) != 0) set_up.push_back(command);
  REQUIRE(set_up.size() == 2);
  CHECK(set_up[0] == "tools/start");
  CHECK(set_up[1] == "tools/check");
}

TEST_CASE("links of the README and DEVELOPERS.md lead to files", "[readme]") {
  static const std::regex link(
      "\\]\\(([^)#:]+)\\)|src=\"([^\":]+)\"|`((?:engine|search|results|tests|tools)/[\\w/.-]+)`");
  for (const char* name : {"README.md", "DEVELOPERS.md"})
    for (const std::string& line : read_lines(name))
      for (std::sregex_iterator match(line.begin(), line.end(), link), end; match != end; ++match) {
        const std::string path = (*match)[1].str() + (*match)[2].str() + (*match)[3].str();
        if (path.find("NAME") != std::string::npos) continue;
        CAPTURE(name, path);
        CHECK(std::filesystem::exists(source / path));
      }
}

TEST_CASE("whatever a test cites stands in the list of sources", "[readme]") {
  // Lastname YEAR, or the number of a standard.
  static const std::regex citation(
      "[A-Z][a-z]+ \\(?(1[6-9]|20)[0-9]{2}\\b|\\b(ISO|RFC|EN) [0-9]{3}");
  static const std::regex named("[a-z_]+\\.(cpp|h|py)");
  std::string sources;
  for (const std::string& line : read_lines("tests/sources.md")) sources += line + "\n";
  std::set<std::string> found;
  int citing = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(source / "tests")) {
    const std::string path = std::filesystem::relative(entry.path(), source).string();
    const std::string name = entry.path().filename().string();
    if (!std::regex_match(name, named) || path.rfind("tests/bench/", 0) == 0) continue;
    found.insert(name);
    for (const std::string& line : read_lines(path)) {
      if (!std::regex_search(line, citation)) continue;
      CAPTURE(path, line);
      CHECK(sources.find(name) != std::string::npos);
      ++citing;
      break;
    }
  }
  CHECK(citing > 40);
  for (std::sregex_iterator match(sources.begin(), sources.end(), named), end; match != end;
       ++match) {
    CAPTURE(match->str());
    CHECK(found.count(match->str()) == 1);
  }
}

#ifndef __SANITIZE_ADDRESS__  // as printed they would take minutes there; other tests cover the
                              // code
TEST_CASE("the README's commands run as printed", "[readme]") {
  const ScratchFolder folder;
  std::filesystem::create_directory(folder.path() / "build");
  std::filesystem::create_symlink(program_path(), folder.path() / "build" / "sixtyfold");
  std::filesystem::create_directory_symlink(source / "results", folder.path() / "results");
  int run = 0;
  for (const std::string& command : find_commands("README.md")) {
    if (command.rfind("build/sixtyfold", 0) != 0) continue;
    const bool serves = command.find(" workshop ") != std::string::npos ||
                        command.find(" vote ") != std::string::npos;
    const ProgramResult result =
        run_until_said(serves ? "Ctrl-C" : "", {"sh", "-c", "exec " + command}, folder.path());
    CAPTURE(command, result.out, result.err);
    // "no" is an answer: not buildable under other limits, or no better than it is.
    const bool answers_no = (result.status == 1 && command.find(" check ") != std::string::npos) ||
                            (result.status == 5 && command.find(" tune ") != std::string::npos);
    CHECK((result.status == 0 || answers_no));
    CHECK_FALSE(result.out.empty());
    ++run;
  }
  CHECK(run >= 4);
}
#endif
