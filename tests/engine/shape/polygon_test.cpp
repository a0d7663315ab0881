#include "engine/shape/polygon.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

#include "engine/random.h"
#include "engine/shape/orientation.h"
#include "tests/support/outlines.h"

using namespace sixtyfold;

namespace {

// Slow and obvious: the angle the boundary turns about the point.
bool winds_around(const Polygon& polygon, const Vec2& point) {
  double angle = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const Vec2 a = polygon[i] - point, b = polygon[(i + 1) % polygon.size()] - point;
    angle += std::atan2(cross(a, b), a.dot(b));
  }
  return std::abs(angle) > pi;
}

bool is_simple_slowly(const Polygon& p) {
  const std::size_t n = p.size();
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t j = 0; j < n; ++j) {
      if (i == j) continue;
      const Vec2 &a = p[i], &b = p[(i + 1) % n], &c = p[j], &d = p[(j + 1) % n];
      if ((i + 1) % n == j) {
        if (find_orientation(a, b, d) == 0 && (a - b).dot(d - b) > 0) return false;
      } else if ((j + 1) % n != i && segments_meet(a, b, c, d)) {
        return false;
      }
    }
  return true;
}

}  // namespace

TEST_CASE("orientation is exact on the classroom grid", "[shape][orientation]") {
  // Kettner, Mehlhorn, Pion, Schirra and Yap 2008, first set-up; counts recomputed with fractions.
  const Vec2 q(12, 12), r(24, 24);
  int left = 0, straight = 0, right = 0, wrong = 0;
  for (int i = 0; i < 256; ++i)
    for (int j = 0; j < 256; ++j) {
      const Vec2 p(0.5 + std::ldexp(i, -53), 0.5 + std::ldexp(j, -53));
      const int sign = find_orientation(p, q, r);
      // p is left of the line x = y towards r when j > i.
      wrong += sign != (j > i) - (j < i);
      left += sign > 0;
      straight += sign == 0;
      right += sign < 0;
      CHECK(sign == find_orientation(q, r, p));
      CHECK(sign == -find_orientation(q, p, r));
    }
  CHECK(wrong == 0);
  CHECK(left == 32640);
  CHECK(straight == 256);
  CHECK(right == 32640);

  // Second set-up of the same paper.
  const Vec2 q2(17.300000000000001, 17.300000000000001),
      r2(24.00000000000005, 24.0000000000000517765);
  left = straight = right = 0;
  for (int i = 0; i < 256; ++i)
    for (int j = 0; j < 256; ++j) {
      const Vec2 p(0.50000000000002531 + std::ldexp(i, -53),
                   0.5000000000000171 + std::ldexp(j, -53));
      const int sign = find_orientation(p, q2, r2);
      left += sign > 0;
      straight += sign == 0;
      right += sign < 0;
    }
  CHECK(std::max(left, right) == 34411);
  CHECK(straight == 0);
  CHECK(std::min(left, right) == 31125);
}

TEST_CASE("area and centroid are exact on integers", "[shape][polygon]") {
  RandomStream random(1, Purpose::test, 1);
  for (int trial = 0; trial < 200; ++trial) {
    Polygon polygon;
    std::int64_t twice = 0;
    std::vector<std::int64_t> x, y;
    const int count = 3 + static_cast<int>(random.below(20));
    for (int i = 0; i < count; ++i) {
      x.push_back(static_cast<std::int64_t>(random.below(2000001)) - 1000000);
      y.push_back(static_cast<std::int64_t>(random.below(2000001)) - 1000000);
      polygon.emplace_back(double(x.back()), double(y.back()));
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
      const std::size_t j = (i + 1) % x.size();
      twice += x[i] * y[j] - x[j] * y[i];
    }
    CHECK(measure_area(polygon) == double(twice) / 2);
  }
  const Polygon l{{0, 0}, {3, 0}, {3, 1}, {1, 1}, {1, 3}, {0, 3}};
  CHECK(measure_area(l) == 5);
  CHECK(measure_perimeter(l) == 12);
  CHECK(measure_centroid(l).x() == Approx((3 * 1.5 + 2 * 0.5) / 5));
  CHECK(measure_centroid(l).y() == Approx((3 * 0.5 + 2 * 2.0) / 5));
  CHECK(measure_area(Polygon(l.rbegin(), l.rend())) == -5);
  CHECK(make_counter_clockwise(Polygon(l.rbegin(), l.rend())) == l);
}

TEST_CASE("moving, turning and scaling change the measures as they must", "[shape][polygon]") {
  RandomStream random(2, Purpose::test, 1);
  for (int trial = 0; trial < 100; ++trial) {
    const Polygon polygon = make_random_outline(random, 3 + static_cast<int>(random.below(40)));
    const double angle = random.uniform(0, 2 * pi), scale = random.uniform(0.1, 10);
    const Vec2 shift(random.uniform(-5, 5), random.uniform(-5, 5));
    const Eigen::Rotation2Dd turn(angle);
    Polygon moved = polygon;
    for (Vec2& v : moved) v = scale * (turn * v) + shift;
    CHECK(measure_area(moved) == Approx(scale * scale * measure_area(polygon)));
    CHECK(measure_perimeter(moved) == Approx(scale * measure_perimeter(polygon)));
    CHECK((measure_centroid(moved) - scale * (turn * measure_centroid(polygon)) - shift).norm() <
          1e-12 * scale + 1e-12);
    const Rectangle before = measure_least_rectangle(polygon);
    const Rectangle after = measure_least_rectangle(moved);
    CHECK(after.long_mm == Approx(scale * before.long_mm));
    CHECK(after.short_mm == Approx(scale * before.short_mm));
    CHECK(is_simple(moved) == is_simple(polygon));
    const Box box = measure_box_along(moved, angle), plain = measure_box(polygon);
    CHECK(box.size().x() == Approx(scale * plain.size().x()));
    CHECK(box.size().y() == Approx(scale * plain.size().y()));
  }
}

TEST_CASE("hull and least rectangle agree with brute force", "[shape][polygon]") {
  RandomStream random(3, Purpose::test, 1);
  for (int trial = 0; trial < 200; ++trial) {
    Polygon points;
    const int count = 3 + static_cast<int>(random.below(25));
    for (int i = 0; i < count; ++i)  // on a coarse grid, so that collinear and equal points occur
      points.emplace_back(double(random.below(9)), double(random.below(9)));
    // A point is a corner of the hull when no triangle or segment of the others holds it: equal to
    // being the only point that is extreme in some direction. Directed pairs with all points left.
    std::vector<Vec2> corners;
    for (const Vec2& a : points)
      for (const Vec2& b : points) {
        if (a == b) continue;
        bool edge = true;
        for (const Vec2& c : points) {
          const double side = cross(b - a, c - a);
          edge = edge && (side > 0 || (side == 0 && (c - a).dot(c - b) <= 0));
        }
        if (edge && std::find(corners.begin(), corners.end(), a) == corners.end())
          corners.push_back(a);
      }
    const Polygon hull = make_convex_hull(points);
    if (measure_area(hull) == 0) continue;
    REQUIRE(hull.size() == corners.size());
    for (const Vec2& v : hull) CHECK(std::find(corners.begin(), corners.end(), v) != corners.end());
    CHECK(measure_area(hull) > 0);

    double least = 1e300;
    for (std::size_t i = 0; i < hull.size(); ++i) {
      const Vec2 d = hull[(i + 1) % hull.size()] - hull[i];
      const Vec2 size = measure_box_along(points, std::atan2(d.y(), d.x())).size();
      least = std::min(least, size.x() * size.y());
    }
    const Rectangle rectangle = measure_least_rectangle(points);
    CHECK(rectangle.long_mm * rectangle.short_mm == Approx(least));
    CHECK(rectangle.long_mm >= rectangle.short_mm);
    REQUIRE((0 <= rectangle.direction_rad && rectangle.direction_rad < pi));
    const Vec2 size = measure_box_along(points, rectangle.direction_rad).size();
    CHECK(size.x() == Approx(rectangle.long_mm));
    CHECK(size.y() == Approx(rectangle.short_mm).margin(1e-12));
  }
}

TEST_CASE("containment agrees with the angle turned", "[shape][polygon]") {
  RandomStream random(4, Purpose::test, 1);
  for (int trial = 0; trial < 100; ++trial) {
    const Polygon polygon = make_random_outline(random, 3 + static_cast<int>(random.below(30)));
    for (int i = 0; i < 50; ++i) {
      const Vec2 point(random.uniform(-1, 1), random.uniform(-1, 1));
      if (distance_to_boundary(polygon, point) < 1e-9) continue;
      CHECK(contains(polygon, point) == winds_around(polygon, point));
    }
  }
  // Rays through vertices and along edges.
  const Polygon diamond{{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
  CHECK(contains(diamond, {0, 0}));
  CHECK_FALSE(contains(diamond, {-2, 0}));
  const Polygon step{{0, 0}, {4, 0}, {4, 2}, {2, 2}, {2, 1}, {0, 1}};
  CHECK_FALSE(contains(step, {-1, 1}));
  CHECK_FALSE(contains(step, {1, 1.5}));
  CHECK(contains(step, {3, 1}));
}

TEST_CASE("distance to the boundary", "[shape][polygon]") {
  const Polygon square{{0, 0}, {2, 0}, {2, 2}, {0, 2}};
  CHECK(distance_to_boundary(square, {1, 0.5}) == 0.5);
  CHECK(distance_to_boundary(square, {5, 6}) == 5);
  CHECK(distance_to_boundary(square, {2, 2}) == 0);
}

TEST_CASE("simplicity agrees with the test of every pair of edges", "[shape][polygon]") {
  RandomStream random(5, Purpose::test, 1);
  int simple = 0, crossed = 0;
  for (int trial = 0; trial < 3000; ++trial) {
    Polygon polygon;
    const int count = 3 + static_cast<int>(random.below(6));
    if (trial % 2 == 0) {
      for (int i = 0; i < count; ++i)
        polygon.emplace_back(double(random.below(6)), double(random.below(6)));
    } else {
      polygon = make_random_outline(random, 3 + static_cast<int>(random.below(40)), 0.02);
      if (trial % 4 == 1) std::swap(polygon[0], polygon[random.below(polygon.size())]);
    }
    bool repeated = false;
    for (std::size_t i = 0; i < polygon.size(); ++i)
      repeated = repeated || polygon[i] == polygon[(i + 1) % polygon.size()];
    const bool expected = !repeated && is_simple_slowly(polygon);
    CHECK(is_simple(polygon) == expected);
    (expected ? simple : crossed) += 1;
  }
  CHECK(simple > 500);
  CHECK(crossed > 500);
  CHECK_FALSE(is_simple({{0, 0}, {1, 0}}));
  CHECK_FALSE(is_simple({{0, 0}, {1, 0}, {2, 0}}));
  CHECK_FALSE(is_simple({{0, 0}, {1, 0}, {std::nan(""), 1}}));
  CHECK_FALSE(is_simple({{0, 0}, {2, 0}, {2, 2}, {1, 0}, {0, 2}}));  // a vertex on an edge
}

TEST_CASE("simplifying stays within its tolerance and keeps corners", "[shape][polygon]") {
  RandomStream random(6, Purpose::test, 1);
  for (int trial = 0; trial < 100; ++trial) {
    const Polygon polygon = make_random_outline(random, 60, 0.7);
    for (const double tolerance : {0.0, 0.01, 0.1}) {
      const Polygon result = make_simplified(polygon, tolerance);
      REQUIRE(result.size() <= polygon.size());
      for (const Vec2& v : polygon) CHECK(distance_to_boundary(result, v) <= tolerance + 1e-12);
      for (const Vec2& v : result)
        CHECK(std::find(polygon.begin(), polygon.end(), v) != polygon.end());
    }
    CHECK(make_simplified(polygon, 0).size() == polygon.size());
  }
  const Polygon square{{0, 0}, {1, 0}, {2, 0}, {2, 2}, {2, 2}, {1, 2}, {0, 2}, {0, 1}};
  CHECK(make_simplified(square, 0).size() == 4);
  Polygon circle;
  for (int i = 0; i < 1000; ++i)
    circle.emplace_back(std::cos(2 * pi * i / 1000), std::sin(2 * pi * i / 1000));
  const Polygon coarse = make_simplified(circle, 0.01);
  CHECK(coarse.size() < 25);
  CHECK(coarse.size() > 20);  // sagitta 1 - cos(pi/n) = 0.01 at n = 22.2
}
