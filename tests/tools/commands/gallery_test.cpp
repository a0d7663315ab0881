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
  CHECK(read_file(scratch.path() / "result/approval-winner.json") ==
        read_file(scratch.path() / "gallery/002.json"));
  const json ranking = tally("ranking.csv", {});
  CHECK(ranking["method"] == "schulze");
  CHECK(ranking["winners"] == json::array({5}));
  CHECK(read_file(scratch.path() / "result/ranking-winner.json") ==
        read_file(scratch.path() / "gallery/005.json"));
  CHECK(tally("ranking.csv", {"--method", "runoff"})["winners"] == json::array({3}));

  // What the page and the command say to type works as printed.
  const std::string printed = read_file(scratch.path() / "command.txt");
  CHECK(printed.find("sixtyfold tally ballots.csv --gallery ") == 0);
  const std::size_t at = made.out.find("  sixtyfold tally ");
  REQUIRE(at != std::string::npos);
  for (const std::string& command : {printed, made.out.substr(at)}) {
    const std::string folder = std::filesystem::path(program_path()).parent_path().string();
    const ProgramResult typed = run_program(
        {"sh", "-c", "cp ranking.csv ballots.csv; PATH=" + folder + ":$PATH; " + command},
        scratch.path());
    INFO(command << typed.err);
    CHECK(typed.status == 0);
    CHECK(typed.out.find("5 ") == 0);
    CHECK(typed.out.find("tell no gallery") == std::string::npos);
  }
}

TEST_CASE("page, tally and an independent count agree on 200 random elections",
          "[tally][browser]") {
  // By the definitions of Brams and Fishburn 1978 (approval) and Schulze 2011, in Python from what
  // the voters meant; the page's own files run in real headless Chromium.
  const ScratchFolder scratch;
  const ProgramResult counted =
      run_program({"python3", source_folder() + "/tests/support/count_elections.py", program_path(),
                   source_folder(), scratch.path().string(), "200"},
                  scratch.path());
  INFO(counted.out << counted.err);
  CHECK(counted.status == 0);
}

TEST_CASE("tally names ties, copies all tied designs and says what is wrong", "[tally]") {
  const ScratchFolder scratch;
  std::filesystem::create_directories(scratch.path() / "designs");
  const std::vector<Design> found = make_found_designs({"T"}, 2, 11);
  for (int i = 0; i < 2; ++i)
    write_file(scratch.path() / ("designs/" + std::to_string(i) + ".json"),
               write_design_json(found[static_cast<std::size_t>(i)]));
  write_file(scratch.path() / "b.csv", "ballot,vote\n1,1\n2,2\n3,7\n");
  const ProgramResult tied =
      run_sixtyfold({"tally", "b.csv", "--gallery", "designs"}, scratch.path());
  CHECK(tied.status == 0);
  CHECK(tied.out.find("Tie between 1 ") == 0);
  CHECK(tied.out.find("line 4: names \"7\"") != std::string::npos);
  CHECK(tied.out.find("tell no gallery") != std::string::npos);
  const auto exists = [&](const char* file) {
    return std::filesystem::exists(scratch.path() / file);
  };
  CHECK(exists("b-winner-1.json"));
  CHECK(exists("b-winner-2.json"));
  CHECK(!exists("b-winner.json"));
  CHECK(exists("b-tally.svg"));
  const std::string first = read_file(scratch.path() / "b-tally.json");

  // The same again changes nothing; other ballots under the same name write over nothing.
  run_sixtyfold({"tally", "b.csv", "--gallery", "designs"}, scratch.path());
  CHECK(!exists("b-2-tally.json"));
  write_file(scratch.path() / "b.csv", "ballot,vote\n1,1\n");
  CHECK(run_sixtyfold({"tally", "b.csv", "--gallery", "designs"}, scratch.path()).status == 0);
  CHECK(read_file(scratch.path() / "b-tally.json") == first);
  CHECK(exists("b-2-tally.json"));
  CHECK(exists("b-2-winner.json"));
  CHECK(!exists("b-2-winner-1.json"));

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

TEST_CASE("a folder that somebody curated makes a gallery, and numbers stay when asked",
          "[gallery][tally]") {
  const ScratchFolder scratch;
  const auto folder = scratch.path() / "hall";
  const std::vector<Design> found = make_found_designs({"T", "D5", "O"}, 5, 11);
  REQUIRE(found.size() == 5);
  std::filesystem::create_directories(scratch.path() / "all");
  for (std::size_t i = 0; i < 4; ++i)
    write_file(scratch.path() / ("all/" + std::to_string(i) + ".json"),
               write_design_json(found[i]));
  const auto gallery = [&](std::vector<std::string> options) {
    options.insert(options.begin(), "gallery");
    const ProgramResult made = run_sixtyfold(options, scratch.path());
    INFO(made.err);
    REQUIRE(made.status == 0);
    return json::parse(read_file(folder / "gallery.json"));
  };
  const json before = gallery({"--from", "all", "--out", "hall"});
  write_file(scratch.path() / "votes.csv",
             "vote,gallery\n4," + before["identity"].get<std::string>() + "\n");
  const auto count = [&] {
    return run_sixtyfold({"tally", "votes.csv", "--gallery", "hall", "--json"}, scratch.path());
  };
  const ProgramResult counted = count();
  REQUIRE(counted.status == 0);
  CHECK(json::parse(counted.out)["standing"][0]["name"] == before["designs"][3]["name"]);
  CHECK(read_file(scratch.path() / "votes-winner.json") == read_file(folder / "004.json"));

  // One is taken out, one copied in, and a count's result lies about.
  std::filesystem::remove(folder / "002.json");
  write_file(folder / "ours.json", write_design_json(found[4]));
  write_file(folder / "votes-tally.json", read_file(scratch.path() / "votes-tally.json"));
  write_file(folder / "votes-winner.json", read_file(scratch.path() / "votes-winner.json"));
  const auto numbers_of = [](const json& list) {
    std::vector<int> numbers;
    for (const json& design : list["designs"]) numbers.push_back(design["number"]);
    return numbers;
  };
  const json kept = gallery({"--from", "hall", "--keep-numbers"});
  CHECK(numbers_of(kept) == std::vector<int>{1, 3, 4, 5});
  CHECK(kept["designs"][2]["file"] == "004.json");
  CHECK(kept["designs"][3]["file"] == "ours.json");
  CHECK(gallery({"--from", "hall", "--keep-numbers"}) == kept);
  const ProgramResult other = count();  // 2 is gone: whoever voted chose among others
  CHECK(other.status == 2);
  CHECK(other.err.find("votes.csv: line 2 was cast for another gallery") != std::string::npos);
  write_file(scratch.path() / "votes.csv", "vote\n5\n2\n");
  const ProgramResult late = count();
  REQUIRE(late.status == 0);
  CHECK(json::parse(late.out)["winners"] == json::array({5}));
  CHECK(late.out.find("they are some of 1 to 5") != std::string::npos);

  const json anew = gallery({"--from", "hall"});
  CHECK(numbers_of(anew) == std::vector<int>{1, 2, 3, 4});
  CHECK(anew["identity"] != kept["identity"]);
}

TEST_CASE("several files are counted together, each class by itself", "[tally]") {
  const ScratchFolder scratch;
  write_file(scratch.path() / "5a.csv", "vote\n1 2\n2\n");
  write_file(scratch.path() / "5b.csv", "sep=;\nKlasse;Stimme\n5b;3\n5c;1,2\n5c;leer\n");
  const ProgramResult result =
      run_sixtyfold({"tally", "5a.csv", "5b.csv", "--json"}, scratch.path());
  INFO(result.err);
  REQUIRE(result.status == 0);
  const json tally = json::parse(result.out);
  CHECK(tally["winners"] == json::array({2}));
  REQUIRE(tally["classes"].size() == 3);
  CHECK(tally["classes"][0]["name"] == "5a");
  CHECK(tally["classes"][1]["winners"] == json::array({3}));
  CHECK(tally["classes"][2]["blank"] == 1);
  CHECK(std::filesystem::exists(scratch.path() / "5a-and-1-more-tally.json"));
  const ProgramResult twice = run_sixtyfold({"tally", "5a.csv", "./5a.csv"}, scratch.path());
  CHECK(twice.status == 2);
  CHECK(twice.err.find("is given twice") != std::string::npos);
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
