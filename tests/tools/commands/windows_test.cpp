// find --windows as a person uses it: off, on and both, checked, nested, continued and merged.
#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
namespace fs = std::filesystem;

namespace {

std::vector<fs::path> list_designs(const fs::path& folder) {
  std::vector<fs::path> designs;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".json" && std::isdigit(entry.path().filename().string()[0]))
      designs.push_back(entry.path());
  std::sort(designs.begin(), designs.end());
  return designs;
}

}  // namespace

TEST_CASE("find --windows on lists designs with windows that check and nest take",
          "[windows][find]") {
  const ScratchFolder scratch;
  const auto find = [&](std::vector<std::string> more) {
    std::vector<std::string> arguments{"find",    "--quiet", "--sheet",  "600x1200",
                                       "--group", "O,D5",    "--budget", "3000",
                                       "--seed",  "4",       "--count",  "4"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const ProgramResult ran = run_sixtyfold(arguments, scratch.path());
    INFO(ran.out << ran.err);
    REQUIRE(ran.status == 0);
  };
  find({"--windows", "on", "--threads", "1", "--out", "on"});
  const std::vector<fs::path> designs = list_designs(scratch.path() / "on");
  REQUIRE(designs.size() == 4);
  for (const fs::path& path : designs) {
    const Design design = read_design_json(read_file(path), path.string());
    CHECK_FALSE(design.orbits[0].panel.holes_mm.empty());
    CHECK(design.recipe.family.ends_with("-windows"));
    const ProgramResult checked = run_sixtyfold({"check", path.string()}, scratch.path());
    INFO(checked.out << checked.err);
    CHECK(checked.status == 0);
    CHECK(checked.out.find("in each panel") != std::string::npos);
    CHECK(run_sixtyfold({"nest", path.string()}, scratch.path()).status == 0);
  }
  // The same bytes for any threads; off is as if nothing were said.
  find({"--windows", "on", "--threads", "3", "--out", "again"});
  find({"--windows", "off", "--out", "off"});
  find({"--out", "plain"});
  const auto same = [&](const char* a, const char* b) {
    for (const fs::path& path : list_designs(scratch.path() / a))
      CHECK(read_file(path) == read_file(scratch.path() / b / path.filename()));
  };
  same("on", "again");
  same("off", "plain");
  for (const fs::path& path : list_designs(scratch.path() / "off"))
    CHECK(read_design_json(read_file(path), path.string()).orbits[0].panel.holes_mm.empty());

  // More like one of them has windows, too.
  const ProgramResult alike =
      run_sixtyfold({"find", "--quiet", "--like", designs[0].string(), "--near", "0.25", "--count",
                     "2", "--budget", "2500", "--out", "alike"},
                    scratch.path());
  INFO(alike.out << alike.err);
  REQUIRE(alike.status == 0);
  for (const fs::path& path : list_designs(scratch.path() / "alike"))
    CHECK_FALSE(read_design_json(read_file(path), path.string()).orbits[0].panel.holes_mm.empty());

  const ProgramResult wrong =
      run_sixtyfold({"find", "--windows", "some", "--out", "wrong"}, scratch.path());
  CHECK(wrong.status == 2);
  CHECK(wrong.err.find("--windows is \"some\"; allowed is off, on or both") != std::string::npos);
  CHECK_FALSE(fs::exists(scratch.path() / "wrong"));
}

TEST_CASE("shards searched with windows are merged, those without are not among them",
          "[windows][merge]") {
  const ScratchFolder scratch;
  const auto run_shard = [&](const std::string& shard, const std::string& windows,
                             const std::string& out) {
    const ProgramResult ran =
        run_sixtyfold({"find", "--quiet", "--sheet", "600x1200", "--group", "O", "--budget", "2000",
                       "--count", "3", "--shard", shard, "--windows", windows, "--out", out},
                      scratch.path());
    INFO(ran.out << ran.err);
    REQUIRE(ran.status == 0);
  };
  run_shard("1/2", "both", "a");
  run_shard("2/2", "both", "b");
  run_shard("2/2", "off", "c");
  CHECK(run_sixtyfold({"merge", "a", "b", "--out", "whole"}, scratch.path()).status == 0);
  CHECK(run_sixtyfold({"merge", "a", "c", "--out", "mixed"}, scratch.path()).status == 2);
}
