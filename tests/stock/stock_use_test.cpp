#include "engine/stock/stock_use.h"

#include <catch2/catch.hpp>

#include "engine/stock/material.h"
#include "results/material_json.h"
#include "results/stock_plan.h"
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
