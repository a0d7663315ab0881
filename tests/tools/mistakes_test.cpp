// What people get wrong: one sentence that names it, exit status 2, nothing written.
#include <algorithm>
#include <catch2/catch.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/found_designs.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

namespace {

std::size_t count_entries(const std::filesystem::path& folder) {
  return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder), {}));
}

}  // namespace

TEST_CASE("mistakes are told in one sentence and leave nothing behind", "[mistakes]") {
  const ScratchFolder scratch;
  const auto path = scratch.path();
  const std::vector<Design> found = make_found_designs({"T"}, 2, 11);
  std::filesystem::create_directories(path / "designs");
  for (std::size_t i = 0; i < found.size(); ++i)
    write_file(path / "designs" / (std::to_string(i) + ".json"), write_design_json(found[i]));
  write_file(path / "file", "x");
  std::filesystem::create_directories(path / "full");
  write_file(path / "full/001.json", "ours");
  std::filesystem::create_directories(path / "home");
  write_file(path / "home/1.json", write_design_json(found[0]));
  write_file(path / "home/index.html", "our own page");
  write_file(path / "long.toml", std::string(100000, '#'));
  write_file(path / "odd.toml", "\x1b[31mred = 1\n");
  write_file(path / "spoiled.csv", "vote\n1 1\n");
  write_file(path / "zero.csv", std::string("vote\n1\0 2\n", 10));
  Design flat = found[0];
  flat.orbits[0].panel.outline_mm = {{0, 0}, {1e-9, 0}, {0, 1e-9}};
  write_file(path / "flat.json", write_design_json(flat));
  const std::size_t before = count_entries(path);

  struct Mistake {
    std::vector<std::string> arguments;
    const char* told;
  };
  const Mistake mistakes[] = {
      {{"bogus"}, "there is no command \"bogus\""},
      {{"find", "--group", "Q"}, "--group is \"Q\""},
      {{"find", "--seed", "-1"}, "--seed is \"-1\""},
      {{"find", "--budget", "1e6"}, "--budget is \"1e6\""},
      {{"find", "--options", "."}, "not a regular file"},
      {{"find", "--options", "long.toml"}, "at most 65536 are allowed"},
      {{"find", "--options", "odd.toml"}, "no option called \"\\x1b"},
      {{"find", "--plane", "sideways"}, "a kind of plane called"},
      {{"find", "--budget", "10", "--out", "full"}, "is not empty; give a new folder"},
      {{"gallery", "--group", "Q"}, "--group is \"Q\""},
      {{"gallery", "--seed", "x"}, "--seed is \"x\""},
      {{"gallery", "--from", "none"}, "there is no such folder"},
      {{"gallery", "--from", "designs", "--out", "file"}, "is a file; a folder is needed"},
      {{"gallery", "--from", "designs", "--out", "full"}, "new or empty"},
      {{"gallery", "--from", "home"}, "was not made by this program"},
      {{"gallery", "--from", "designs", "--out", "g", "--price", "nan"}, "--price"},
      {{"gallery", "--from", "designs", "--out", "g", "--feed", "0"}, "--feed is \"0\""},
      {{"gallery", "--from", "designs", "--out", "g", "--sheet", "5x5"}, "short side"},
      {{"kit", "none.json", "--out", "k", "--price", "nan"}, "--price is \"nan\""},
      {{"kit", "none.json", "--out", "k", "--thickness", "-4"}, "--thickness is \"-4\""},
      {{"tune", "none.json", "--seed", "-1"}, "--seed is \"-1\""},
      {{"tally", "spoiled.csv"}, "line 2 names design 1 twice"},
      {{"tally", "zero.csv"}, "save it as CSV (UTF-8)"},
      {{"tally", "spoiled.csv", "--out", "file"}, ""},
      {{"check", "flat.json"}, "at least 1 is needed"},
      {{"merge", "none"}, "there is no such file"},
  };
  for (const Mistake& mistake : mistakes) {
    const ProgramResult result = run_sixtyfold(mistake.arguments, path);
    CAPTURE(mistake.arguments, result.out, result.err);
    CHECK(result.status == 2);
    CHECK(result.err.starts_with("sixtyfold: "));
    CHECK(result.err.find(mistake.told) != std::string::npos);
    CHECK(std::count(result.err.begin(), result.err.end(), '\n') == 1);
    CHECK(count_entries(path) == before);
  }
  CHECK(read_file(path / "full/001.json") == "ours");
  CHECK(read_file(path / "home/index.html") == "our own page");
}

TEST_CASE("a gallery of a folder measures its designs afresh, under other limits too",
          "[mistakes][gallery]") {
  const ScratchFolder scratch;
  const auto path = scratch.path();
  std::filesystem::create_directories(path / "designs");
  Design design = make_found_designs({"T"}, 1, 11).at(0);
  design.score.joints = 7777;  // what a file says of itself is not shown
  write_file(path / "designs/a.json", write_design_json(design));
  REQUIRE(run_sixtyfold({"gallery", "--from", "designs", "--out", "as-is"}, path).status == 0);
  CHECK(read_file(path / "as-is/index.html").find("7777") == std::string::npos);
  REQUIRE(
      run_sixtyfold({"gallery", "--from", "designs", "--out", "small", "--sheet", "100x100"}, path)
          .status == 0);
  CHECK(read_file(path / "small/index.html").find("Can not be built: ") != std::string::npos);
}
