#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "search/alike/alike.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

TEST_CASE("find goes on from designs and from picks of a map", "[alike][find]") {
  const ScratchFolder scratch;
  REQUIRE(run_sixtyfold({"find", "--group", "T,D5", "--budget", "6000", "--seed", "4", "--count",
                         "2", "--out", "run", "--quiet"},
                        scratch.path())
              .status == 0);
  const ProgramResult more =
      run_sixtyfold({"find", "--like", "run/001.json", "--near", "0.2", "--count", "2", "--budget",
                     "20000", "--seed", "1", "--out", "more", "--quiet"},
                    scratch.path());
  INFO(more.out << more.err);
  REQUIRE(more.status == 0);
  CHECK(more.out.find("like run/001.json (0.") != std::string::npos);
  const auto read = [&](const std::string& name) {
    return read_design_json(read_file(scratch.path() / name), name);
  };
  CHECK(measure_look_distance(read("run/001.json"), read("more/001.json")) ==
        Approx(0.2).margin(0.06));
  CHECK(run_sixtyfold({"check", "more/001.json"}, scratch.path()).status == 0);
  // What a map saved: here the first line that the run keeps.
  const std::string kept = read_file(scratch.path() / "run/kept.jsonl");
  const nlohmann::json first = nlohmann::json::parse(kept.substr(0, kept.find('\n')));
  const nlohmann::json recipe = {{"symmetry", first["symmetry"]},
                                 {"plane", first["plane"]},
                                 {"family", first["family"]},
                                 {"parameters", first["parameters"]}};
  write_file(scratch.path() / "picks.json", nlohmann::json({{"format", "sixtyfold-picks"},
                                                            {"version", 1},
                                                            {"picked", {recipe}},
                                                            {"rejected", nlohmann::json::array()}})
                                                .dump());
  const ProgramResult picked =
      run_sixtyfold({"find", "--picks", "picks.json", "--count", "1", "--budget", "20000", "--seed",
                     "1", "--out", "picked", "--quiet"},
                    scratch.path());
  INFO(picked.out << picked.err);
  CHECK(picked.status == 0);
  // The gallery takes the same options and shows what they find on a page.
  const ProgramResult page =
      run_sixtyfold({"gallery", "--like", "run/001.json", "--near", "0.2", "--count", "2",
                     "--budget", "20000", "--quiet", "--out", "page"},
                    scratch.path());
  INFO(page.out << page.err);
  CHECK(page.status == 0);
  CHECK(std::filesystem::exists(scratch.path() / "page/index.html"));
  CHECK(page.out.find("like run/001.json (0.") != std::string::npos);
  CHECK(run_sixtyfold({"gallery", "--like", "run/001.json", "--from", "run"}, scratch.path())
            .status == 2);
  // The new folder is a run like any other: a map of it can be made.
  CHECK(run_sixtyfold({"explore", "more"}, scratch.path()).status == 0);
}

TEST_CASE("find and gallery go on from a tuned design, which is fitted", "[alike][find]") {
  const ScratchFolder scratch;
  // Not every find can be made stiffer with so little: the first that can.
  int status = 1;
  for (int seed = 1; status != 0 && seed <= 8; ++seed) {
    const std::string run = "run" + std::to_string(seed);
    REQUIRE(run_sixtyfold({"find", "--group", "O", "--budget", "6000", "--seed",
                           std::to_string(seed), "--count", "1", "--out", run, "--quiet"},
                          scratch.path())
                .status == 0);
    status = run_sixtyfold({"tune", run + "/001.json", "--for", "stiffness", "--keep-look", "0.8",
                            "--budget", "1500", "--quiet", "--out", "tuned"},
                           scratch.path())
                 .status;
  }
  REQUIRE(status == 0);
  std::string tuned;
  for (const auto& entry : std::filesystem::directory_iterator(scratch.path() / "tuned"))
    if (entry.path().filename() == "001.json") tuned = "tuned/001.json";
  REQUIRE_FALSE(tuned.empty());
  const Design given = read_design_json(read_file(scratch.path() / tuned), tuned);
  REQUIRE(given.recipe.plane.empty());
  const ProgramResult more =
      run_sixtyfold({"find", "--like", tuned, "--near", "0.3", "--count", "2", "--budget", "20000",
                     "--seed", "1", "--out", "more", "--quiet"},
                    scratch.path());
  INFO(more.out << more.err);
  REQUIRE(more.status == 0);
  CHECK(more.out.rfind("tuned/001.json: fitted, look 0.", 0) == 0);
  CHECK(more.out.find("like tuned/001.json (0.") != std::string::npos);
  CHECK(run_sixtyfold({"check", "more/001.json"}, scratch.path()).status == 0);
  const ProgramResult page = run_sixtyfold({"gallery", "--like", tuned, "--near", "0.3", "--count",
                                            "2", "--budget", "20000", "--quiet", "--out", "page"},
                                           scratch.path());
  INFO(page.out << page.err);
  CHECK(page.status == 0);
  CHECK(page.out.find("fitted, look 0.") != std::string::npos);
  // O has no kind of plane with so many panels.
  const ProgramResult none = run_sixtyfold(
      {"find", "--like", tuned, "--panels", "50..60", "--out", "none"}, scratch.path());
  CHECK(none.status == 2);
  CHECK(none.err.rfind("sixtyfold: tuned/001.json: holds no recipe of the search", 0) == 0);
  CHECK_FALSE(std::filesystem::exists(scratch.path() / "none"));
}

TEST_CASE("what can not be gone on from is refused in a sentence", "[alike][mistakes]") {
  const ScratchFolder scratch;
  const auto refuse = [&](std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), "find");
    const ProgramResult result = run_sixtyfold(arguments, scratch.path());
    CHECK(result.status == 2);
    CHECK(result.err.rfind("sixtyfold: ", 0) == 0);
    return result.err;
  };
  refuse({"--like", "nowhere.json"});
  refuse({"--near", "0.3"});
  write_file(scratch.path() / "picks.json",
             "{\"format\": \"sixtyfold-picks\", \"version\": 1, "
             "\"picked\": []}");
  CHECK(refuse({"--picks", "picks.json"}).find("nothing is picked") != std::string::npos);
  write_file(scratch.path() / "bad.json",
             "{\"format\": \"sixtyfold-picks\", \"version\": 1, \"picked\": [{\"symmetry\": "
             "\"Q9\", \"plane\": \"generic\", \"family\": \"radial\", \"parameters\": [1]}]}");
  refuse({"--picks", "bad.json"});
  refuse({"--picks", "picks.json", "--near", "2"});
}
