#include "engine/part/body_outline.h"

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
  // Past a right angle the strip ends with the edge: what lies beside its end stays.
  const Polygon dip{{0, 0}, {100, 0}, {100, 5}, {104, 3}, {104, 40}, {0, 40}};
  CHECK(measure_area(set_back(dip, {8, 0, 0, 0, 0, 0})) == Approx(measure_area(dip) - 100 * 8));
  // Two edges that meet after one has moved leave no edge without length in the way.
  CHECK(measure_area(set_back({{0, 0}, {100, 0}, {100, 40}, {0, 40}}, {40, 3, 0, 3})) < 1e-9);
}

// Clipper takes the strip along the edge off.
TEST_CASE("a convex outline loses what lies near its glued edges", "[body]") {
  RandomStream random(7, Purpose::test, 0);
  for (int round = 0; round < 200; ++round) {
    Polygon outline =
        make_convex_hull(make_random_outline(random, 9 + static_cast<int>(random.below(40)), 0.7));
    for (Vec2& p : outline) p *= 200;
    std::vector<double> setbacks(outline.size(), 0);
    PolygonSet strips;
    const auto first = static_cast<std::size_t>(random.below(outline.size()));
    for (std::size_t third = 0; third < 3;
         ++third) {  // far enough apart that none swallows another
      const std::size_t i = (first + third * outline.size() / 3) % outline.size();
      const std::size_t n = outline.size();
      const Vec2 a = outline[i], b = outline[(i + 1) % n], along = (b - a).normalized(),
                 in(-along.y(), along.x());
      const double setback = setbacks[i] = random.uniform(1, 12);
      // On to the border, but four setbacks at most.
      const auto find_ahead = [&](const Vec2& end, const Vec2& next, const Vec2& ahead) {
        return std::min(setback * std::max(0.0, ahead.dot(next - end)) / in.dot(next - end),
                        4 * setback);
      };
      const Vec2 from = a - find_ahead(a, outline[(i + n - 1) % n], -along) * along;
      const Vec2 to = b + find_ahead(b, outline[(i + 2) % n], along) * along;
      const Polygon strip{from - 9 * in, to - 9 * in, to + setback * in, from + setback * in};
      strips.push_back(strip);
    }
    const Polygon body = set_back(outline, setbacks);
    const PolygonSet expected = make_difference({outline}, strips);
    CHECK(measure_area(body) == Approx(measure_set_area(expected)).epsilon(1e-4));
  }
}

// Clipper takes the strips of engine/part/flat_pattern.cpp off: limbs with short edges beside the
// glued one.
TEST_CASE("a wavy outline loses a strip along its glued edge and no more", "[body]") {
  RandomStream random(8, Purpose::test, 0);
  int dips = 0;
  for (int round = 0; round < 400; ++round) {
    // A glued edge on top of a disc's flank; beside it the border falls past the edge's line.
    Polygon outline{{-50, 0}, {50, 0}};
    const double setback = random.uniform(3, 12);
    for (const double side : {1.0, -1.0}) {
      const Vec2 end(50 * side, 0);
      const Vec2 rise(end.x() + side * random.uniform(0.5, 20), random.uniform(0.1, 20));
      const Vec2 fall(rise.x() + side * random.uniform(2, 30), random.uniform(-60, 5));
      const Polygon more{
          rise, fall, {side * (100 + std::abs(fall.x())), fall.y() / 2}, {side * 90, 150}};
      dips += fall.y() < 0 && rise.y() < setback;
      if (side > 0)
        outline.insert(outline.end(), more.begin(), more.end());
      else
        outline.insert(outline.end(), more.rbegin(), more.rend());
    }
    if (!is_simple(outline)) continue;
    std::vector<double> setbacks(outline.size(), 0);
    setbacks[0] = setback;
    const auto find_ahead = [&](const Vec2& end, const Vec2& next) {
      const double x = std::abs(next.x() - end.x()), y = next.y();
      return std::min(setback * x / y, 4 * setback);
    };
    const double low = -50 - find_ahead(outline[0], outline.back()),
                 high = 50 + find_ahead(outline[1], outline[2]);
    const PolygonSet expected =
        make_difference({outline}, {{{low, 0}, {high, 0}, {high, setback}, {low, setback}}});
    // A sliver beyond the end of the strip is no matter; the body as a whole is.
    CHECK(measure_area(set_back(outline, setbacks)) ==
          Approx(measure_set_area(expected)).epsilon(2e-3));
  }
  CHECK(dips > 50);
}
