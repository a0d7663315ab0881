#include "engine/stock/stock_use.h"

#include <catch2/catch.hpp>

#include "engine/random.h"
#include "engine/stock/material.h"
#include "results/files/material_json.h"
#include "results/reports/stock_plan.h"
#include "tests/support/outlines.h"
#include "tests/support/polyhedra.h"

using namespace sixtyfold;

namespace {

Design make_design() {
  Design design = test::make_dodecahedron(300, 4);
  design.limits.sheet_width_mm = 1000, design.limits.sheet_height_mm = 1600;
  design.limits.tab_depth_mm = 20;
  design.limits.sheet_price = 4;
  return design;
}

}  // namespace

TEST_CASE("stock use says what the whole plan says", "[stock][use]") {
  const Design design = make_design();
  StockOptions options;
  options.effort = 2;
  const StockPlan plan = make_stock_plan(design, options);
  const StockUse use = measure_stock_use(design, 2);
  CHECK(use.sheets == plan.sheets);
  CHECK(use.parts_per_sheet == plan.parts[0].nest.parts_per_sheet);
  CHECK(use.utilisation == Approx(plan.utilisation));
  REQUIRE(plan.cost);
  CHECK(use.cost == Approx(*plan.cost));
  CHECK(use.cost == Approx(4 * use.sheets));
  CHECK(use.cutting_min == Approx(plan.cutting_min));
}

TEST_CASE("price, tool and feed of the limits change cost and time as they must", "[stock][use]") {
  Design design = make_design();
  const StockUse saw = measure_stock_use(design, 1);
  design.limits.feed_mm_per_min *= 2;
  const StockUse faster = measure_stock_use(design, 1);
  CHECK(faster.cutting_min < saw.cutting_min);
  CHECK(faster.sheets == saw.sheets);
  design.limits.tool = CutTool::knife;  // one layer at a time
  design.limits.sheet_price = 0;
  CHECK(measure_stock_use(design, 1).cost == 0);
  CHECK(measure_stock_use(design, 1).cutting_min > faster.cutting_min);
  design.limits.sheet_width_mm = design.limits.sheet_height_mm = 200;
  const StockUse none = measure_stock_use(design, 1);
  CHECK(none.sheets == 0);
  CHECK(none.cutting_min == 0);
  CHECK(none.part_length_mm > 200);
}

TEST_CASE("the fast tier needs at least the sheets of the nest", "[stock][use]") {
  const Design design = make_design();
  const Polygon& outline = design.orbits[0].panel.outline_mm;
  std::vector<Segment> border;
  for (std::size_t i = 0; i < outline.size(); ++i)
    border.push_back({outline[i], outline[(i + 1) % outline.size()]});
  PartSketch sketch;
  sketch.outline_mm = outline;
  sketch.border_mm = border;
  sketch.copies = 12;
  Limits limits = design.limits;
  const StockUse fast = estimate_stock_use(sketch, limits);
  Design flat = design;
  flat.orbits[0].panel.flat_pattern_mm = outline;
  const StockUse full = measure_stock_use(flat, 2);
  CHECK(fast.sheets >= full.sheets);
  CHECK(fast.parts_per_sheet > 0);
  CHECK(fast.cost == Approx(4 * fast.sheets));
  CHECK(fast.cutting_min == Approx(full.cutting_min));
  limits.sheet_width_mm = limits.sheet_height_mm = 200;
  CHECK(estimate_stock_use(sketch, limits).sheets == 0);
}

namespace {

StockUse bound_outline(const Polygon& outline, int copies, const Limits& limits) {
  PartSketch sketch;
  sketch.outline_mm = outline;
  sketch.copies = copies;
  return bound_stock_use(sketch, limits);
}

}  // namespace

TEST_CASE("no nest beats the bound, and rectangles that tile a sheet reach it", "[stock][use]") {
  RandomStream random(7, Purpose::test, 0);
  for (int round = 0; round < 30; ++round) {
    Polygon outline = make_random_outline(random, 5 + static_cast<int>(random.below(9)));
    const double size = random.uniform(80, 420);
    for (Vec2& p : outline) p *= size;
    Design design = make_design();
    Limits& limits = design.limits;
    limits.sheet_width_mm = random.uniform(900, 1300);
    limits.gap_mm = random.uniform(0, 20);
    design.orbits[0].panel.flat_pattern_mm = outline;
    const StockUse bound = bound_outline(outline, 12, limits), full = measure_stock_use(design, 1);
    INFO("round " << round);
    REQUIRE(full.sheets > 0);
    CHECK(bound.sheets >= 1);
    CHECK(bound.sheets <= full.sheets);
    CHECK(bound.parts_per_sheet >= full.parts_per_sheet);
    CHECK(bound.cost <= full.cost);
    CHECK(bound.utilisation >= full.utilisation);
    CHECK(bound.cutting_min <= full.cutting_min);
  }
  Limits limits = make_design().limits;
  limits.gap_mm = limits.edge_margin_mm = 0;
  const StockUse tiled = bound_outline({{0, 0}, {200, 0}, {200, 160}, {0, 160}}, 60, limits);
  CHECK(tiled.parts_per_sheet == 50);
  CHECK(tiled.sheets == 2);
  CHECK(tiled.utilisation == 1);
  // Squares of 197 mm at least 3 mm apart: a disc adds less than a square, so the bound is near.
  limits.gap_mm = 3;
  limits.sheet_width_mm = 997, limits.sheet_height_mm = 1597;
  const int squares =
      bound_outline({{0, 0}, {197, 0}, {197, 197}, {0, 197}}, 60, limits).parts_per_sheet;
  CHECK(squares >= 40);
  CHECK(squares <= 41);
  limits.sheet_width_mm = limits.sheet_height_mm = 100;
  CHECK(bound_outline({{0, 0}, {200, 0}, {200, 160}, {0, 160}}, 60, limits).sheets == 0);
}
