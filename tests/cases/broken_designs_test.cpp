// Files that once slipped through, stopped the program or filled its memory: tests/fuzz/corpus.
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "engine/text.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;
using nlohmann::json;

namespace {

std::string corpus(const std::string& name) {
  return source_folder() + "/tests/fuzz/corpus/" + name;
}

ProgramResult kit(const std::string& file, const std::filesystem::path& folder) {
  return run_sixtyfold({"kit", file, "--out", "kit"}, folder);
}

}  // namespace

TEST_CASE("stored joints are not believed: swapped ones change nothing", "[cases][mistakes]") {
  const ScratchFolder scratch;
  const auto path = scratch.path();
  json document = json::parse(read_file(corpus("design-joints-swapped.json")));
  document.erase("joints");
  write_file(path / "bare.json", document.dump());
  REQUIRE(kit(corpus("design-joints-swapped.json"), path).status == 0);
  REQUIRE(run_sixtyfold({"kit", "bare.json", "--out", "bare"}, path).status == 0);
  CHECK(read_file(path / "kit/template.svg") == read_file(path / "bare/template.svg"));
  CHECK(read_file(path / "kit/template.dxf") == read_file(path / "bare/template.dxf"));
}

TEST_CASE("what check finds broken is refused by kit, nest and gallery", "[cases][mistakes]") {
  const ScratchFolder scratch;
  const auto path = scratch.path();
  std::filesystem::create_directories(path / "some");
  for (const char* name : {"design-near-miss.json", "design-copy-removed.json",
                           "design-wrong-symmetry.json", "design-ragged-star.json"}) {
    CAPTURE(name);
    write_file(path / "some/1.json", read_file(corpus(name)));
    for (const std::vector<std::string>& arguments :
         std::vector<std::vector<std::string>>{{"kit", "some/1.json", "--out", "out"},
                                               {"nest", "some/1.json", "--svg", "sheets.svg"},
                                               {"gallery", "--from", "some", "--out", "out"}}) {
      const ProgramResult result = run_sixtyfold(arguments, path);
      CAPTURE(result.out, result.err);
      CHECK(result.status == 1);
      CHECK(result.err.starts_with("sixtyfold: some/1.json: can not be built: "));
      CHECK_FALSE(std::filesystem::exists(path / "out"));
      CHECK_FALSE(std::filesystem::exists(path / "sheets.svg"));
    }
    CHECK(run_sixtyfold({"check", "some/1.json"}, path).status == 1);
  }
}

TEST_CASE("an outline of many sharp notches is refused, a smooth one of as many corners is not",
          "[cases][design_json]") {
  const json star = json::parse(read_file(corpus("design-ragged-star.json")));
  // A circle of a thousand points, one with notches that turn by less than 20 degrees, and a saw.
  for (const double depth : {0.0, 0.05, 4.0}) {
    json drawn = star;
    json& outline = drawn["panel"]["outline_mm"] = json::array();
    for (int i = 0; i < 1000; ++i) {
      const double angle = 2 * pi * i / 1000, radius = 100 - (i % 2 ? depth : 0);
      outline.push_back({radius * std::cos(angle), radius * std::sin(angle)});
    }
    CAPTURE(depth);
    if (depth < 1)
      CHECK_NOTHROW(read_design_json(drawn.dump(), "x.json"));
    else
      CHECK_THROWS_WITH(
          read_design_json(drawn.dump(), "x.json"),
          Catch::Contains("an outline has 500 sharp notches; at most 200 are allowed with 10"));
  }
}

TEST_CASE("a drawing whose copies no command could read again is refused before it is written",
          "[cases][own]") {
  const ScratchFolder scratch;
  std::string points;
  for (int i = 0; i < 1000; ++i) {
    const double angle = 2 * pi * i / 1000, radius = 200 - (i % 2 ? 5 : 0);
    points += format("%.3f,%.3f ", radius * std::cos(angle), radius * std::sin(angle));
  }
  write_file(scratch.path() / "saw.svg",
             "<svg xmlns='http://www.w3.org/2000/svg' width='500mm' height='500mm' "
             "viewBox='-250 -250 500 500'><polygon points='" +
                 points + "'/></svg>");
  const std::vector<std::string> words = {
      "tune",     "--quiet",     "--outline",  "saw.svg", "--place-only", "--symmetry", "I",
      "--normal", "0.1,0.7,0.7", "--distance", "30",      "--scale",      "1",          "--turn",
      "222",      "--shift",     "-240,-217",  "--sheet", "1200x1200",    "--out",      "out"};
  std::vector<std::string> fine = words;
  fine.insert(fine.end(), {"--min-width", "1"});
  const ProgramResult refused = run_sixtyfold(fine, scratch.path());
  CAPTURE(refused.out, refused.err);
  CHECK(refused.status == 2);
  CHECK(refused.err.starts_with("sixtyfold: saw.svg: as placed the outlines of all copies have "));
  CHECK_FALSE(std::filesystem::exists(scratch.path() / "out"));
  // What the saw can do blunts the teeth, and then it is plain enough.
  CHECK(run_sixtyfold(words, scratch.path()).status <= 1);
  CHECK(run_sixtyfold({"check", "out/placed.json"}, scratch.path()).status <= 1);
}

TEST_CASE("faults against limits are told, not refused, by kit and nest", "[cases][mistakes]") {
  const ScratchFolder scratch;
  const auto path = scratch.path();
  const std::string file = corpus("design-joints-swapped.json");
  const ProgramResult made =
      run_sixtyfold({"kit", file, "--angles", "86..90", "--out", "kit"}, path);
  CAPTURE(made.out, made.err);
  REQUIRE(made.status == 0);
  CHECK(made.out.find("not within its limits: copies ") != std::string::npos);
  CHECK(read_file(path / "kit/guide.html").find("Not within its limits") != std::string::npos);
  const ProgramResult laid =
      run_sixtyfold({"nest", file, "--angles", "86..90", "--svg", "s.svg"}, path);
  CHECK(laid.status == 0);
  CHECK(laid.out.find("Not within its limits: copies ") != std::string::npos);
  CHECK(read_file(path / "s.svg").find("Not within its limits") != std::string::npos);
}

TEST_CASE("a design without copies has all those of its symmetry", "[cases][design_json]") {
  json document = json::parse(read_file(corpus("design-without-copies.json")));
  const Design design = read_design_json(document.dump(), "x.json");
  CHECK(design.orbits.at(0).copies.size() == 60);
  const ScratchFolder scratch;
  const ProgramResult result =
      run_sixtyfold({"check", corpus("design-without-copies.json"), "--json"}, scratch.path());
  CAPTURE(result.out, result.err);
  const json answer = json::parse(result.out);
  CHECK(answer.at("score").at("panels") == 60);
  CHECK(answer.at("score").at("pieces") == 1);
  document["copies"] = json::array();
  CHECK_THROWS_WITH(read_design_json(document.dump(), "x.json"),
                    Catch::Contains("copies: has 0 elements"));
}

TEST_CASE("the symmetry that a file names is compared with its copies", "[cases][check]") {
  json document = json::parse(read_file(corpus("design-without-copies.json")));
  const ScratchFolder scratch;
  const auto path = scratch.path();
  const Design whole = read_design_json(document.dump(), "x.json");
  document = json::parse(write_design_json(whole));
  for (const char* symbol : {"I", "C1", "D5", "O", "T", "Ih"}) {
    document["symmetry"] = symbol;
    write_file(path / "d.json", document.dump());
    const ProgramResult result = run_sixtyfold({"check", "d.json"}, path);
    CAPTURE(symbol, result.out);
    CHECK((result.out.find("that the symmetry ") == std::string::npos) ==
          (std::string(symbol) == "I"));
  }
}

TEST_CASE("a design enlarged thirty times is answered in a sentence", "[cases][mistakes]") {
  const ScratchFolder scratch;
  const ProgramResult result = kit(corpus("design-thirty-times.json"), scratch.path());
  CAPTURE(result.err);
  CHECK(result.status == 2);
  CHECK(result.err.find("m long; a kit is drawn for parts up to 5 m") != std::string::npos);
}

TEST_CASE("tabs of 8 mm are searched for and listed", "[cases][find]") {
  const ScratchFolder scratch;
  const ProgramResult result = run_sixtyfold(
      {"find", "--tab-depth", "8", "--group", "T", "--budget", "3000", "--quiet", "--out", "run"},
      scratch.path());
  CAPTURE(result.out, result.err);
  CHECK(result.status == 0);
  CHECK(std::filesystem::exists(scratch.path() / "run/001.json"));
}

TEST_CASE("the saved corpus breaks no rule of tests/fuzz/attack.py", "[cases][fuzz]") {
  const ScratchFolder scratch;
  const ProgramResult result =
      run_program({"/usr/bin/python3", source_folder() + "/tests/fuzz/attack.py", program_path(),
                   "--replay", source_folder() + "/tests/fuzz/corpus", "--gentle"},
                  scratch.path());
  INFO(result.out << result.err);
  CHECK(result.status == 0);
}
