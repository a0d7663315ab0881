// A blade whose row may be tight by hooking into itself was spread to end flush with the sheet,
// into a spacing between the hooked and the free one where its ends overlap. Seen in the drawing.
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/nest/nest.h"
#include "tests/support/nest_oracle.h"

using namespace sixtyfold;

TEST_CASE("rows of hooked parts are spread only to spacings that are free", "[stock][nest]") {
  Polygon low, high;
  for (int i = 0; i <= 32; ++i) {
    const double t = -1 + i / 16.0;
    const Vec2 middle{t, 0.35 * std::sin(pi * t)};
    const Vec2 along = Vec2{1, 0.35 * pi * std::cos(pi * t)}.normalized();
    const Vec2 out =
        (0.16 * std::sqrt(std::max(0.0, 1 - t * t)) + 0.02) * Vec2{-along.y(), along.x()};
    low.push_back(300 * (middle - out));
    high.push_back(300 * (middle + out));
  }
  Polygon blade = low;
  blade.insert(blade.end(), high.rbegin(), high.rend());
  for (const double length : {1500.0, 1560.0, 1600.0, 1640.0, 1700.0}) {
    NestOptions options;
    options.sheet.short_mm = 1000, options.sheet.long_mm = length;
    options.effort = 1;
    const oracle::NestFaults faults = oracle::measure_nest(make_nest(blade, options), blade);
    INFO("sheet " << length);
    CHECK(faults.overlap_mm2 == 0);
    CHECK(faults.least_gap_mm >= options.sheet.gap_mm - 0.001);
  }
}
