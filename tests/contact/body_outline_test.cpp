#include "engine/contact/body_outline.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/shape/boolean.h"
#include "tests/support/outlines.h"

using namespace sixtyfold;

namespace {

Polygon set_back(const Polygon& outline, const std::vector<double>& setbacks) {
  BodyOutline body;
  body.outline_mm = outline;
  body.setbacks_mm = setbacks;
  sixtyfold::set_back(body);
  CHECK(body.setbacks_mm == std::vector<double>(body.outline_mm.size(), 0));
  return body.outline_mm;
}

}  // namespace

TEST_CASE("glued edges of simple outlines move in", "[body]") {
  const Polygon rectangle{{0, 0}, {100, 0}, {100, 40}, {0, 40}};
  CHECK(measure_area(set_back(rectangle, {0, 0, 0, 0})) == Approx(4000));
  CHECK(measure_area(set_back(rectangle, {3, 0, 0, 0})) == Approx(100 * 37));
  CHECK(measure_area(set_back(rectangle, {3, 2, 0, 0})) == Approx(98 * 37));
  CHECK(measure_area(set_back(rectangle, {3, 2, 1, 4})) == Approx(94 * 36));
  // A line with a corner on it is one edge.
  const Polygon parted{{0, 0}, {50, 0}, {100, 0}, {100, 40}, {0, 40}};
  CHECK(measure_area(set_back(parted, {3, 3, 0, 0, 0})) == Approx(100 * 37));
  // At the reflex corner of an L the moved edge ends: a rectangle of 60 by 5 goes.
  const Polygon ell{{0, 0}, {100, 0}, {100, 40}, {40, 40}, {40, 80}, {0, 80}};
  CHECK(measure_area(set_back(ell, {0, 0, 5, 0, 0, 0})) == Approx(5600 - 60 * 5));
  CHECK(measure_area(set_back(ell, {0, 0, 5, 5, 0, 0})) == Approx(5600 - 60 * 5 - 40 * 5));
}

TEST_CASE("glued edges of awkward outlines move in", "[body]") {
  // Similar triangles: the incircle's radius falls from r to r - 5.
  const Polygon triangle{{0, 0}, {100, 0}, {50, 80}};
  const double r = 2 * measure_area(triangle) / measure_perimeter(triangle);
  CHECK(measure_area(set_back(triangle, {5, 5, 5})) ==
        Approx(measure_area(triangle) * std::pow((r - 5) / r, 2)));
  // A corner that rises, dips and rises again is gone past: what lies below 8 goes, and the dip is below.
  const Polygon dip{{0, 0}, {100, 0}, {100, 5}, {104, 3}, {104, 40}, {0, 40}};
  CHECK(measure_area(set_back(dip, {8, 0, 0, 0, 0, 0})) == Approx(104 * 32));
  // Two edges that meet after one has moved leave no edge without length in the way.
  CHECK(measure_area(set_back({{0, 0}, {100, 0}, {100, 40}, {0, 40}}, {40, 3, 0, 3})) < 1e-9);
}

// Clipper takes the strip along the edge off.
TEST_CASE("a convex outline loses what lies near its glued edges", "[body]") {
  RandomStream random(7, Purpose::test, 0);
  for (int round = 0; round < 200; ++round) {
    Polygon outline = make_convex_hull(make_random_outline(random, 9 + static_cast<int>(random.below(40)), 0.7));
    for (Vec2& p : outline) p *= 200;
    std::vector<double> setbacks(outline.size(), 0);
    PolygonSet strips;
    const auto first = static_cast<std::size_t>(random.below(outline.size()));
    for (std::size_t third = 0; third < 3; ++third) {  // far enough apart that none swallows another
      const std::size_t i = (first + third * outline.size() / 3) % outline.size();
      const Vec2 a = outline[i], along = (outline[(i + 1) % outline.size()] - a).normalized(), in(-along.y(), along.x());
      setbacks[i] = random.uniform(1, 12);
      const Polygon strip{a - 1000 * along - 1000 * in, a + 1000 * along - 1000 * in,
                          a + 1000 * along + setbacks[i] * in, a - 1000 * along + setbacks[i] * in};
      strips.push_back(strip);
    }
    const Polygon body = set_back(outline, setbacks);
    const PolygonSet expected = make_difference({outline}, strips);
    CHECK(measure_area(body) == Approx(measure_set_area(expected)).epsilon(1e-4));
  }
}
