#include "results/reports/stock_plan.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "engine/part/scaled_pattern.h"
#include "results/files/design_json.h"
#include "results/files/file.h"
#include "results/files/material_json.h"
#include "tests/support/polyhedra.h"
#include "tests/support/run_program.h"
#include "tests/support/svg_standard.h"

using namespace sixtyfold;
using nlohmann::json;

namespace {

Design make_design() {
  Design design = test::make_dodecahedron(300, 4);
  design.name = "<b>Twelve & one</b>";
  design.score.diameter_mm = 755;
  design.limits.sheet_width_mm = 1000, design.limits.sheet_height_mm = 1600;
  design.limits.tab_depth_mm = 20;
  return design;
}

}  // namespace

TEST_CASE("a plan adds up and says what it assumed", "[stock][plan]") {
  StockOptions options;
  options.effort = 1;
  Design design = make_design();
  design.limits.sheet_price = 5.5;
  const StockPlan plan = make_stock_plan(design, options);
  REQUIRE(plan.parts.size() == 1);
  CHECK(plan.copies == 12);
  REQUIRE(plan.sheets > 0);
  CHECK(plan.cost == Approx(5.5 * plan.sheets));
  CHECK(plan.board_kg == Approx(plan.sheets * 1.6 * design.limits.mass_kg_per_m2));
  CHECK(plan.utilisation ==
        Approx(12 * measure_area(plan.parts[0].pattern.outline_mm) / (plan.sheets * 1.6e6)));
  const json document = json::parse(write_stock_json(plan));
  CHECK(document["sheets"] == plan.sheets);
  CHECK(document["parts"][0]["placements"].size() == plan.parts[0].nest.placements.size());
  CHECK(document["assumptions"]["feed_mm_per_min"] == 400);
  CHECK(document["cautions"].size() >= 3);
  const std::string text = make_stock_text(plan);
  CHECK(text.find("12 parts from") != std::string::npos);
  CHECK(text.find("local law") != std::string::npos);
}

TEST_CASE("a part too large is said to be, and costs nothing", "[stock][plan]") {
  Design design = make_design();
  design.limits.sheet_width_mm = design.limits.sheet_height_mm = 200;
  const StockPlan plan = make_stock_plan(design, {});
  CHECK(plan.sheets == 0);
  CHECK_FALSE(plan.cost);
  CHECK(make_stock_text(plan).find("Does not fit") != std::string::npos);
  CHECK(find_svg_faults(make_stock_svg(plan, 0)) == "");
}

TEST_CASE("drawings of sheets and of the curve are valid SVG 1.1, names of others escaped",
          "[stock][plan]") {
  StockOptions options;
  options.effort = 1;
  options.material = load_material("corrugated-c");
  options.first_cut = FirstCut::quarters;
  Design design = make_design();
  design.limits = with_material(design.limits, *options.material, options.material->sheets[0]);
  const StockPlan plan = make_stock_plan(design, options);
  const std::string svg = make_stock_svg(plan, 0);
  CHECK(find_svg_faults(svg) == "");
  CHECK(svg.find("<b>") == std::string::npos);
  options.first_cut = FirstCut::none;
  const auto curve = find_design_curve(make_design(), options, 600, 1600);
  REQUIRE(curve.size() >= 2);
  CHECK(find_svg_faults(make_curve_svg(curve, "<b>")) == "");
  CHECK(find_svg_faults(make_curve_svg({}, "")) == "");
  CHECK(json::parse(write_curve_json(make_design(), curve))["largest_diameter_by_sheets"].size() ==
        curve.size());
}

TEST_CASE("scaling keeps thickness and tabs, and scales the rest", "[stock][plan]") {
  const Design design = make_design();
  const Design twice = make_scaled(design, 2);
  CHECK(twice.thickness_mm == design.thickness_mm);
  CHECK(twice.score.diameter_mm == 2 * design.score.diameter_mm);
  CHECK(measure_area(twice.orbits[0].panel.outline_mm) ==
        Approx(4 * measure_area(design.orbits[0].panel.outline_mm)));
  const double depth = make_flat_patterns(design)[0].tabs.at(0).depth_mm;
  CHECK(make_flat_patterns(twice)[0].tabs.at(0).depth_mm == Approx(depth));
}

TEST_CASE("nest and materials from the command line", "[stock][plan][program]") {
  ScratchFolder folder;
  write_file(folder.path() / "d.json", write_design_json(make_design()));
  const ProgramResult nest = run_sixtyfold(
      {"nest", "d.json", "--svg", "s.svg", "--price", "4", "--effort", "1"}, folder.path());
  INFO(nest.err);
  CHECK(nest.status == 0);
  CHECK(nest.out.find("12 parts from") != std::string::npos);
  CHECK(std::filesystem::exists(folder.path() / "s.svg"));
  const ProgramResult as_json = run_sixtyfold({"nest", "d.json", "--json", "--effort", "1",
                                               "--sheet", "900x1300", "--material", "corrugated-b"},
                                              folder.path());
  INFO(as_json.err);
  REQUIRE(as_json.status == 0);
  const json document = json::parse(as_json.out);
  CHECK(document["thickness_mm"] == 3.2);
  CHECK(document["sheet"]["size_mm"][0] == 900);
  CHECK(document["sheet"]["grain"] == "long");
  // The scale question both ways.
  const ProgramResult largest = run_sixtyfold(
      {"nest", "d.json", "--most-sheets", "2", "--effort", "1", "--write-scaled", "two.json"},
      folder.path());
  INFO(largest.out << largest.err);
  CHECK(largest.status == 0);
  CHECK(largest.out.find("mm across from") != std::string::npos);
  const ProgramResult again = run_sixtyfold({"nest", "two.json", "--json"}, folder.path());
  REQUIRE(again.status == 0);
  CHECK(json::parse(again.out)["sheets"] <= 2);
  const ProgramResult fewest = run_sixtyfold(
      {"nest", "d.json", "--least-diameter", "900", "--json", "--effort", "1"}, folder.path());
  REQUIRE(fewest.status == 0);
  const json answer = json::parse(fewest.out);
  CHECK(answer["answer"]["diameter_mm"] >= 900);
  CHECK(answer["largest_diameter_by_sheets"].size() >= 1);
  CHECK(run_sixtyfold({"nest", "d.json", "--least-diameter", "90m"}, folder.path()).status == 1);
  CHECK(run_sixtyfold({"nest", "d.json", "--least-diameter", "900", "--most-sheets", "3"},
                      folder.path())
            .status == 2);
  CHECK(run_sixtyfold({"nest", "d.json", "--material", "gold"}, folder.path()).status == 2);
  CHECK(run_sixtyfold({"nest", "d.json", "--sheet", "100x100"}, folder.path()).status == 1);
  const ProgramResult list = run_sixtyfold({"materials"});
  CHECK(list.out.find("plywood-birch-6") != std::string::npos);
  const ProgramResult one = run_sixtyfold({"materials", "acrylic-3"});
  write_file(folder.path() / "mine.json", one.out);
  CHECK(run_sixtyfold({"nest", "d.json", "--material", "mine.json", "--effort", "1"}, folder.path())
            .status == 0);
}
