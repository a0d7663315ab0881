#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>

#include "engine/symmetry/point_group.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "tests/support/crate.h"
#include "tests/support/polyhedra.h"
#include "tests/support/run_program.h"
#include "tests/support/sample_design.h"

using namespace sixtyfold;
using nlohmann::json;

namespace {

ProgramResult check(const Design& design, std::vector<std::string> options = {}) {
  const ScratchFolder folder;
  write_file(folder.path() / "x.json", write_design_json(design));
  options.insert(options.begin(), {"check", "x.json"});
  return run_sixtyfold(options, folder.path());
}

json check_json(const Design& design, std::vector<std::string> options = {}) {
  options.push_back("--json");
  return json::parse(check(design, options).out);
}

}  // namespace

TEST_CASE("check takes a cube and a dodecahedron of plates", "[check]") {
  // Coxeter, Regular Polytopes (1973) table I: 12 edges at 90 degrees, 30 edges at 116.565 degrees.
  // Closed convex polyhedra of hinged plates are rigid: Cauchy 1813, Dehn 1916.
  const json cube = check_json(test::make_cube(150, 4));
  INFO(cube);
  CHECK(cube["buildable"] == true);
  CHECK(cube["faults"].empty());
  CHECK(cube["score"]["panels"] == 6);
  CHECK(cube["score"]["edge_joints"] == 12);
  CHECK(cube["score"]["pieces"] == 1);
  CHECK(cube["score"]["internal_dof"] == 0);
  CHECK(cube["score"]["collisions"] == 0);
  CHECK(cube["score"]["diameter_mm"].get<double>() == Approx(300 * std::sqrt(3.0)));
  CHECK(cube["score"]["shortest_joint_mm"].get<double>() == Approx(300));
  // 6 plates of 0.09 m2 at the default 0.6 kg/m2.
  CHECK(cube["score"]["mass_kg"].get<double>() == Approx(0.324));
  const ProgramResult solid = check(test::make_dodecahedron(300, 4));
  INFO(solid.out);
  CHECK(solid.status == 0);
  CHECK(solid.err.empty());
  CHECK_THAT(solid.out, Catch::Contains("30 x edge on edge") &&
                            Catch::Contains("at 116.6 degrees") &&
                            Catch::Contains("Buildable under these limits."));
}

TEST_CASE("the stored joints, score and recipe are not believed", "[check]") {
  Design cube = test::make_cube(150, 4);
  const json honest = check_json(cube);
  cube.joints.clear();
  cube.score = {};
  cube.score.panels = 99;
  cube.score.collisions = 3;
  cube.recipe.symmetry = "I";
  CHECK(check_json(cube) == honest);
}

TEST_CASE("check tells whether it goes together, and faults it only where the design asks",
          "[check][order]") {
  Design crate = make_crate(3, 2, 0);
  crate.limits.allow_flexible = true;
  const json good = check_json(crate, {"--order"});
  INFO(good);
  CHECK(good["assembly"]["hard_steps"] == 0);
  CHECK(good["score"]["hard_steps"] == 0);
  CHECK(good["assembly"]["steps"].size() == 5);
  std::set<int> placed;
  for (const json& step : good["assembly"]["steps"]) {
    for (const int copy : step["copies"]) CHECK(placed.insert(copy).second);
    CHECK(step["loose"].is_number());
  }
  CHECK(placed.size() == 5);
  CHECK_THAT(check(crate, {"--order"}).out,
             Catch::Contains("hard steps") && Catch::Contains("Order:"));
  Design held = make_crate(3, 2, 2);
  held.limits.allow_flexible = true;
  const json told = check_json(held);
  CHECK(told["assembly"]["hard_steps"] > 0);
  CHECK(told["assembly"]["proved"] == true);
  for (const json& fault : told["faults"])
    CHECK(fault.get<std::string>().find("way in") == std::string::npos);
  held.limits.max_hard_steps = 0;
  const json refused = check_json(held);
  CHECK(refused["buildable"] == false);
  CHECK(refused["faults"].back().get<std::string>().find("way in; at most 0 are allowed") !=
        std::string::npos);
}

TEST_CASE("check says what is wrong and exits with 1", "[check]") {
  struct Case {
    Design design;
    std::vector<std::string> options;
    const char* says;
  };
  Design apart = test::make_cube(150, 4);
  apart.orbits[0].copies.resize(1);
  apart.joints.clear();
  Design open = make_sample_design();
  open.limits = {};
  Design crossing = open;
  crossing.orbits[0].panel.outline_mm = {{-150, -100}, {150, -100}, {150, 100}, {-150, 100}};
  const Design cube = test::make_cube(150, 4);
  const std::vector<Case> cases = {
      {apart, {}, "no two copies are joined"},
      {open, {}, "not rigid"},
      {crossing, {}, "pass through each other over 200.0 mm"},
      {cube, {"--sheet", "200x300"}, "does not fit a sheet of 200 x 300 mm"},
      {cube, {"--min-joint", "0.4m"}, "is 300.0 mm long; at least 400.0 mm"},
      {cube, {"--angles", "20..90", "--diameter", "1m..2m"}, "519.6 mm across; at least 1000.0"},
      {cube, {"--diameter", "..300"}, "519.6 mm across; at most 300.0"},
      {cube, {"--panels", "12.."}, "it has 6 panels; at least 12"},
      {cube, {"--panels", "..5"}, "it has 6 panels; at most 5"},
      {cube, {"--joints", "..11"}, "it has 12 joints; at most 11"},
      {test::make_dodecahedron(300, 4), {"--angles", "20..100"}, "meet at 116.6 degrees"},
      {cube, {"--min-stiffness", "1000"}, "stiffness number is"},
      {cube, {"--hours", "..0.1", "--people", "3"}, "hours with 3 people and 2 saws; at most 0.1"},
      {cube, {"--module-opening", "..1"}, "mm wide; at most 1 mm"},
      {cube, {"--closure", "..0.01"}, "the last joint misses by up to"},
  };
  for (const Case& bad : cases) {
    const ProgramResult result = check(bad.design, bad.options);
    CAPTURE(bad.says, result.out, result.err);
    CHECK(result.status == 1);
    CHECK_THAT(result.out, Catch::Contains("Not buildable:") && Catch::Contains(bad.says));
    const json machine = check_json(bad.design, bad.options);
    CHECK(machine["buildable"] == false);
    CHECK_FALSE(machine["faults"].empty());
  }
  CHECK(check(open, {"--allow-flexible"}).status == 0);
  CHECK_THAT(check(cube, {"--thickness", "7.5"}).out, Catch::Contains("board 7.5 mm thick"));
}

TEST_CASE("relabelling the copies or turning the whole thing changes no number", "[check]") {
  Design solid = test::make_dodecahedron(300, 4);
  const json before = check_json(solid)["score"];
  std::reverse(solid.orbits[0].copies.begin(), solid.orbits[0].copies.end());
  const json relabelled = check_json(solid)["score"];
  const Mat3 turn = Eigen::AngleAxisd(0.7, Vec3(1, 2, 3).normalized()).toRotationMatrix();
  for (Mat3& copy : solid.orbits[0].copies) copy = turn * copy;
  const json turned = check_json(solid)["score"];
  for (const auto& [key, value] : before.items()) {
    CAPTURE(key);
    // Of steps that are equal the order takes one by number, and what is below by the floor.
    if (key == "closure_mm") continue;
    CHECK(relabelled[key].get<double>() == Approx(value.get<double>()).margin(1e-9));
    CHECK(turned[key].get<double>() == Approx(value.get<double>()).margin(1e-9));
  }
}

TEST_CASE("bad files are one line on standard error and status 2", "[check]") {
  const ScratchFolder folder;
  write_file(folder.path() / "text.json", "hello");
  write_file(folder.path() / "old.json", "{\"format\": \"sixtyfold-design\", \"version\": 7}");
  write_file(folder.path() / "good.json", write_design_json(test::make_cube(150, 4)));
  std::filesystem::create_directory(folder.path() / "folder.json");
  const std::vector<std::vector<std::string>> mistakes = {
      {"check", "none.json"},
      {"check", "folder.json"},
      {"check", "text.json"},
      {"check", "old.json"},
      {"check", "good.json", "good.json"},
      {"check", "good.json", "--sheet", "600"},
      {"check", "good.json", "--sheet", "10x20"},
      {"check", "good.json", "--grain", "up"},
      {"check", "good.json", "--angles", "160..20"},
      {"check", "good.json", "--panels", "1.5..3"},
      {"check", "good.json", "--thickness", "-3"},
      {"check", "good.json", "--min-joint"},
  };
  for (const auto& arguments : mistakes) {
    const ProgramResult result = run_sixtyfold(arguments, folder.path());
    CAPTURE(arguments, result.err, result.out);
    CHECK(result.status == 2);
    CHECK(result.out.empty());
    CHECK_THAT(result.err, Catch::StartsWith("sixtyfold: "));
    CHECK(result.err.find('\n') == result.err.size() - 1);
  }
}

TEST_CASE("check hangs and stands a design and says how it moves", "[check]") {
  const Design cube = test::make_cube(150, 4);
  const json hung = check_json(cube, {"--hang", "0"});
  REQUIRE(hung["loads"].size() == 1);
  // 0.324 kg (6 plates of 0.09 m2 at 0.6 kg/m2) at standard gravity, CGPM 1901.
  CHECK(hung["loads"][0]["weight_n"].get<double>() == Approx(0.324 * 9.80665));
  CHECK_FALSE(hung.contains("motions"));
  const ProgramResult told = check(cube, {"--hang", "0", "--stand", "1"});
  CHECK(told.status == 0);
  CHECK_THAT(told.out, Catch::Contains("deflection") && Catch::Contains("reserve") &&
                           Catch::Contains("competent person"));
  const ProgramResult refused = check(cube, {"--hang", "6"});
  CHECK(refused.status == 2);
  CHECK_THAT(refused.err, Catch::Contains("copy 6 is not in the design"));
}
