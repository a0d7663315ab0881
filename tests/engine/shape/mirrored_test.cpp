#include "engine/shape/mirrored.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

namespace {

/// Nearest corner's distance.
double find_distance(const Polygon& polygon, const Vec2& p) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const Vec2& q : polygon) nearest = std::min(nearest, (p - q).norm());
  return nearest;
}

}  // namespace

TEST_CASE("a mirrored outline is simple, holds the hub and is its own image in every mirror",
          "[shape][mirrored]") {
  RandomStream random(41, Purpose::test, 0);
  for (const OutlineFamily& family : outline_families())
    for (const int fold : {1, 2, 3, 5}) {
      if (fold > family.most_fold) continue;
      for (int trial = 0; trial < 40; ++trial) {
        const std::vector<double> values = test::draw_values(family.parameters, random);
        Polygon outline = family.draw(values, fold);
        const double direction = trial == 0 ? 0 : random.uniform(-4, 4);
        mirror_outline(outline, fold, direction);
        CAPTURE(family.name, fold, trial);
        REQUIRE(outline.size() >= 3);
        REQUIRE(outline.size() <= 500);
        CHECK(is_simple(outline));
        CHECK(measure_area(outline) > 0);
        CHECK(contains(outline, Vec2::Zero()));
        for (int mirror = 0; mirror < fold; ++mirror) {
          const double angle = direction + pi * mirror / fold;
          const Vec2 along(std::cos(angle), std::sin(angle));
          for (const Vec2& p : outline)
            CHECK(find_distance(outline, 2 * along.dot(p) * along - p) < 1e-9);
        }
      }
    }
}

TEST_CASE("a wedge shows the boundary as it was", "[shape][mirrored]") {
  // Of a square with a dent on one side only the half with the dent remains, twice.
  Polygon outline{{-1, -1}, {1, -1}, {1, 1}, {0.5, 0.2}, {0, 1}, {-1, 1}};
  mirror_outline(outline, 1, 0);
  CHECK(measure_area(outline) ==
        Approx(2 * measure_area({{-1, 0}, {1, 0}, {1, 1}, {0.5, 0.2}, {0, 1}, {-1, 1}})));
  CHECK(find_distance(outline, {0.5, -0.2}) < 1e-12);
}
