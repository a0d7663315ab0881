#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
using nlohmann::json;

TEST_CASE("a class looks, votes in a browser, and the tally finds its winner",
          "[gallery][browser]") {
  // The page is used in real headless Chromium by tests/support/browse_gallery.py, which casts
  // three picks ballots with a known winner, and the 45 rankings of Schulze 2011 as paper ballots.
  const ScratchFolder scratch;
  const auto designs = scratch.path() / "designs";
  std::filesystem::create_directories(designs);
  std::vector<Design> found = make_found_designs({"I", "O", "T", "D5", "D7"}, 5, 11);
  REQUIRE(found.size() == 5);
  found[3].name = "<script>alert(1)</script>";
  for (std::size_t i = 0; i < found.size(); ++i)
    write_file(designs / ("design-" + std::to_string(i) + ".json"), write_design_json(found[i]));
  const ProgramResult made = run_sixtyfold(
      {"gallery", "--from", "designs", "--out", "gallery", "--price", "6.5"}, scratch.path());
  INFO(made.err);
  REQUIRE(made.status == 0);

  const ProgramResult browsed = run_program(
      {"python3", source_folder() + "/tests/support/browse_gallery.py", "gallery/index.html", "."},
      scratch.path());
  INFO(browsed.out << browsed.err);
  REQUIRE(browsed.status == 0);

  const auto tally = [&](const std::string& ballots, std::vector<std::string> options) {
    options.insert(options.begin(),
                   {"tally", ballots, "--gallery", "gallery", "--json", "--out", "result"});
    const ProgramResult result = run_sixtyfold(options, scratch.path());
    INFO(result.err);
    REQUIRE(result.status == 0);
    return json::parse(result.out);
  };
  const json picks = tally("approval.csv", {});
  CHECK(picks["method"] == "approval");
  CHECK(picks["winners"] == json::array({2}));
  CHECK(read_file(scratch.path() / "result/winner.json") ==
        read_file(scratch.path() / "gallery/002.json"));
  const json ranking = tally("ranking.csv", {});
  CHECK(ranking["method"] == "schulze");
  CHECK(ranking["winners"] == json::array({5}));
  CHECK(read_file(scratch.path() / "result/winner.json") ==
        read_file(scratch.path() / "gallery/005.json"));
  CHECK(tally("ranking.csv", {"--method", "runoff"})["winners"] == json::array({3}));
}

TEST_CASE("tally names ties, copies all tied designs and says what is wrong", "[tally]") {
  const ScratchFolder scratch;
  std::filesystem::create_directories(scratch.path() / "designs");
  const std::vector<Design> found = make_found_designs({"T"}, 2, 11);
  for (int i = 0; i < 2; ++i)
    write_file(scratch.path() / ("designs/" + std::to_string(i) + ".json"),
               write_design_json(found[static_cast<std::size_t>(i)]));
  write_file(scratch.path() / "b.csv", "ballot,vote\n1,1\n2,2\n3,7\n");
  write_file(scratch.path() / "winner.json", "an earlier winner");
  const ProgramResult tied =
      run_sixtyfold({"tally", "b.csv", "--gallery", "designs"}, scratch.path());
  CHECK(tied.status == 0);
  CHECK(tied.out.find("Tie between 1 ") == 0);
  CHECK(tied.out.find("line 4: names \"7\"") != std::string::npos);
  CHECK(std::filesystem::exists(scratch.path() / "winner-1.json"));
  CHECK(std::filesystem::exists(scratch.path() / "winner-2.json"));
  CHECK(!std::filesystem::exists(scratch.path() / "winner.json"));
  CHECK(std::filesystem::exists(scratch.path() / "tally.svg"));

  const auto fault = [&](std::vector<std::string> arguments) {
    const ProgramResult result = run_sixtyfold(arguments, scratch.path());
    CHECK(result.status == 2);
    return result.err;
  };
  CHECK(fault({"tally", "none.csv"}).find("none.csv") != std::string::npos);
  CHECK(fault({"tally", "b.csv", "--method", "best"}).find("--method is \"best\"") !=
        std::string::npos);
  write_file(scratch.path() / "empty.csv", "vote\n99999\n");
  CHECK(fault({"tally", "empty.csv", "--gallery", "designs"}).find("no ballot that counts") !=
        std::string::npos);
}

TEST_CASE("gallery searches, and the same budget gives the same bytes", "[gallery]") {
  const ScratchFolder scratch;
  for (const char* const threads : {"1", "2"}) {
    const ProgramResult result = run_sixtyfold(
        {"gallery", "--sheet", "600x1200", "--group", "T,D5", "--budget", "12000", "--count", "4",
         "--threads", threads, "--out", std::string("g") + threads, "--quiet"},
        scratch.path());
    INFO(result.out << result.err);
    REQUIRE(result.status == 0);
  }
  for (const char* const file : {"index.html", "ranking.json", "001.json"})
    CHECK(read_file(scratch.path() / "g1" / file) == read_file(scratch.path() / "g2" / file));
  const json ranking = json::parse(read_file(scratch.path() / "g1/ranking.json"));
  REQUIRE(ranking["candidates"].size() >= 2);
  for (const json& candidate : ranking["candidates"]) {
    const std::string file = candidate["file"];
    CHECK(run_sixtyfold({"check", "g1/" + file}, scratch.path()).status == 0);
  }
}
