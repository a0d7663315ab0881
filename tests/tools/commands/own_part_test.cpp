#include <catch2/catch.hpp>

#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/own_parts.h"
#include "tests/support/run_program.h"

using namespace sixtyfold;

TEST_CASE("tune places an own part and says first when it is no good", "[tune][place][command]") {
  const ScratchFolder scratch;
  for (const auto& [name, svg] : support::find_own_parts())
    write_file(scratch.path() / (name + ".svg"), svg);
  const ProgramResult good =
      run_sixtyfold({"tune", "--outline", "curved.svg", "--symmetry", "O", "--place-only",
                     "--budget", "10000", "--quiet", "--out", "good"},
                    scratch.path());
  INFO(good.out << good.err);
  CHECK(good.status == 0);
  CHECK(good.out.rfind("Placed, and it passes the check", 0) == 0);
  for (const char* file : {"placed.json", "placed.svg", "drawn.svg", "place.svg"})
    CHECK(std::filesystem::exists(scratch.path() / "good" / file));
  CHECK(run_sixtyfold({"check", "good/placed.json"}, scratch.path()).status == 0);
  // The place it tells gives the same bytes again.
  const std::size_t at = good.out.find("to give again: ") + 15;
  std::vector<std::string> again = {"tune",         "--outline", "curved.svg",
                                    "--place-only", "--out",     "again"};
  std::string word;
  for (const char c : good.out.substr(at, good.out.find('\n', at) - at) + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      again.push_back(word);
      word.clear();
    }
  }
  CHECK(run_sixtyfold(again, scratch.path()).status == 0);
  CHECK(read_file(scratch.path() / "good/placed.json") ==
        read_file(scratch.path() / "again/placed.json"));

  const ProgramResult bad = run_sixtyfold(
      {"tune", "--outline", "curved.svg", "--normal", "0.2,0.5,1", "--distance", "400", "--scale",
       "1", "--turn", "0", "--sheet", "700x1000", "--quiet", "--out", "bad"},
      scratch.path());
  CHECK(bad.status == 1);
  CHECK(bad.out.rfind("It does NOT pass the check: copies ", 0) == 0);
  CHECK(run_sixtyfold({"check", "bad/placed.json"}, scratch.path()).status == 1);
  const ProgramResult astray =
      run_sixtyfold({"tune", "good/placed.json", "--normal", "0,0,1"}, scratch.path());
  CHECK(astray.status == 2);
  CHECK(astray.err.find("--normal") != std::string::npos);
}

TEST_CASE("a panel is completed from measured corners", "[tune][place][command]") {
  const ScratchFolder scratch;
  // A square of 200 mm on each face of a cube, 1 mm short all round and 0.4 mm bent.
  write_file(scratch.path() / "cube.json",
             R"({"format": "sixtyfold-design", "version": 1, "symmetry": "O", "thickness_mm": 4,
                 "limits": {"allow_flexible": true, "min_openness": 0, "max_openness": 1},
                 "panel": {"corners_mm": [[99, 99, 100.2], [-99, 99, 99.8], [-99, -99, 100.2],
                                          [99, -99, 99.8]]}})");
  const ProgramResult check = run_sixtyfold({"check", "cube.json"}, scratch.path());
  INFO(check.out << check.err);
  CHECK(check.out.find("6 copies") != std::string::npos);
  CHECK(check.err.find("0.2 mm off one plane") != std::string::npos);
  const ProgramResult tuned =
      run_sixtyfold({"tune", "cube.json", "--quiet", "--out", "cube"}, scratch.path());
  INFO(tuned.out << tuned.err);
  CHECK(tuned.out.find("Edges were moved by up to 1.0 mm") != std::string::npos);
  CHECK(tuned.out.find("6 panels, 12 joints") != std::string::npos);
  write_file(scratch.path() / "bent.json",
             R"({"format": "sixtyfold-design", "version": 1, "symmetry": "O", "thickness_mm": 4,
                 "panel": {"corners_mm": [[99, 99, 120], [-99, 99, 80], [-99, -99, 120],
                                          [99, -99, 80]]}})");
  const ProgramResult bent = run_sixtyfold({"check", "bent.json"}, scratch.path());
  CHECK(bent.status == 2);
  CHECK(bent.err.find("20.0 mm off the plane") != std::string::npos);
}
