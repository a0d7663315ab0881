#include "engine/stock/scale_curve.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace sixtyfold;

namespace {

ScaleOptions make_options() {
  ScaleOptions options;
  options.nest.sheet.short_mm = 600, options.nest.sheet.long_mm = 1200;
  options.nest.sheet.gap_mm = options.nest.sheet.edge_margin_mm = 0;
  options.nest.copies = 60;
  options.nest.effort = 1;
  options.diameter_mm = 1000, options.low_mm = 500, options.high_mm = 8000;
  return options;
}

Polygon make_square(double side) { return {{0, 0}, {side, 0}, {side, side}, {0, side}}; }

}  // namespace

// Squares on a 600 x 1200 sheet: side 600 gives 2, 300 gives 8, 200 gives 18 a sheet, and none of
// that side or more gives more: elementary.
TEST_CASE("the curve finds the known steps of squares", "[stock][scale]") {
  const auto curve =
      find_scale_curve([](double scale) { return make_square(100 * scale); }, make_options());
  REQUIRE_FALSE(curve.empty());
  for (std::size_t i = 1; i < curve.size(); ++i) {
    CHECK(curve[i].diameter_mm > curve[i - 1].diameter_mm);
    CHECK(curve[i].sheets > curve[i - 1].sheets);
  }
  for (const auto& [sheets, side] :
       {std::pair{30, 600.0}, std::pair{8, 300.0}, std::pair{4, 200.0}}) {
    const ScalePoint* point = find_largest(curve, sheets);
    REQUIRE(point);
    CHECK(point->diameter_mm <= side * 10 * (1 + 1e-6));
    CHECK(point->diameter_mm >= side * 10 * 0.98);
  }
  const ScalePoint* fewest = find_fewest_sheets(curve, 1900);
  REQUIRE(fewest);
  CHECK(fewest->sheets == 4);
  CHECK(find_fewest_sheets(curve, 7000) == nullptr);
}

TEST_CASE("a part too large at every scale gives an empty curve", "[stock][scale]") {
  CHECK(find_scale_curve([](double scale) { return make_square(5000 * scale); }, make_options())
            .empty());
  ScaleOptions bad = make_options();
  bad.low_mm = 9000;
  CHECK_THROWS_AS(find_scale_curve([](double) { return make_square(1); }, bad),
                  std::invalid_argument);
}
