#include "engine/nest/no_fit.h"

#include <catch2/catch.hpp>
#include <clipper.hpp>
#include <cmath>

#include "engine/random.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

/// Radial with a few strong harmonics: deep bays, star-shaped about its hub.
Polygon make_wavy(RandomStream& random, int corners) {
  const double a = random.uniform(0, 0.6), b = random.uniform(0, 0.35),
               shift = random.uniform(0, 6);
  const int waves = 2 + static_cast<int>(random.below(4));
  Polygon polygon;
  for (int i = 0; i < corners; ++i) {
    const double t = 2 * pi * i / corners;
    const double r = 100 * (1 + a * std::cos(waves * t + shift) + b * std::cos((waves + 3) * t));
    polygon.emplace_back(r * std::cos(t), r * std::sin(t));
  }
  return polygon;
}

double total_area(const std::vector<Polygon>& set) {
  double area = 0;
  for (const Polygon& polygon : set) area += measure_area(polygon);
  return area;
}

bool covers(const std::vector<Polygon>& set, const Vec2& point) {
  bool inside = false;
  for (const Polygon& polygon : set) inside ^= contains(polygon, point);
  return inside;
}

Polygon make_shifted(const Polygon& polygon, const Vec2& by) {
  Polygon moved = polygon;
  for (Vec2& p : moved) p += by;
  return moved;
}

}  // namespace

// Textbook: for convex sets area(A - B) = area(A) + area(B) + 2 V(A, -B); for a square of side a
// and one of side b it is (a + b)^2; a triangle with itself gives 6 areas (Rogers and Shephard
// 1957, equality for simplices).
TEST_CASE("no-fit regions with known areas", "[stock][nofit]") {
  const Polygon square{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, small{{0, 0}, {4, 0}, {4, 4}, {0, 4}};
  CHECK(total_area(make_no_fit(square, small)) == Approx(14 * 14));
  const Polygon triangle{{0, 0}, {50, 3}, {17, 29}};
  CHECK(total_area(make_no_fit(triangle, triangle)) == Approx(6 * measure_area(triangle)));
}

// A square frame with a slot too narrow for the part: the part fits inside, so the region has a
// hole of (inside - part) sides.
TEST_CASE("a cavity where the part fits stays a hole", "[stock][nofit]") {
  const Polygon frame{{0, 0},   {49, 0},  {49, 10}, {10, 10}, {10, 90},   {90, 90},
                      {90, 10}, {51, 10}, {51, 0},  {100, 0}, {100, 100}, {0, 100}};
  const Polygon part{{0, 0}, {30, 0}, {30, 20}, {0, 20}};
  const auto region = make_no_fit(frame, part);
  double hole = 0;
  for (const Polygon& polygon : region) hole += std::min(0.0, measure_area(polygon));
  // Inside 80 x 80, part 30 x 20; nothing can enter through a slot 2 wide.
  CHECK(hole == Approx(-50.0 * 60));
}

TEST_CASE("inside the no-fit region the parts overlap, outside they do not", "[stock][nofit]") {
  RandomStream random(21, Purpose::test, 0);
  int inside = 0, outside = 0;
  for (int round = 0; round < 40; ++round) {
    const Polygon a = make_wavy(random, 12 + static_cast<int>(random.below(30)));
    const Polygon b = make_wavy(random, 12 + static_cast<int>(random.below(30)));
    const auto region = make_no_fit(a, b);
    for (int i = 0; i < 40; ++i) {
      const Vec2 t{random.uniform(-350, 350), random.uniform(-350, 350)};
      double distance = 1e9;
      for (const Polygon& polygon : region)
        distance = std::min(distance, distance_to_boundary(polygon, t));
      if (distance < 0.5) continue;
      const double overlap = oracle::overlap_area(a, make_shifted(b, t));
      if (covers(region, t)) {
        ++inside;
        CHECK(overlap > 0);
      } else {
        ++outside;
        CHECK(overlap < 1e-9);
      }
    }
  }
  CHECK(inside > 200);
  CHECK(outside > 200);
}

// Clipper's own Minkowski sum sweeps every pair of edges: a slow reference.
TEST_CASE("the outer boundary is that of the sweep of all edge pairs", "[stock][nofit]") {
  RandomStream random(22, Purpose::test, 0);
  for (int round = 0; round < 20; ++round) {
    const Polygon a = make_wavy(random, 20), b = make_wavy(random, 24);
    ClipperLib::Path path_a, path_b;
    for (const Vec2& p : a)
      path_a.emplace_back(std::llround(p.x() * 1e4), std::llround(p.y() * 1e4));
    for (const Vec2& p : b)
      path_b.emplace_back(std::llround(-p.x() * 1e4), std::llround(-p.y() * 1e4));
    ClipperLib::Paths swept;
    ClipperLib::MinkowskiSum(path_a, path_b, swept, true);
    double outer = 0, ours = 0;
    for (const auto& path : swept) outer = std::max(outer, ClipperLib::Area(path) * 1e-8);
    for (const Polygon& polygon : make_no_fit(a, b)) ours = std::max(ours, measure_area(polygon));
    CHECK(ours == Approx(outer).epsilon(1e-7));
  }
}

TEST_CASE("a part with itself gives a region symmetric about no move", "[stock][nofit]") {
  RandomStream random(23, Purpose::test, 0);
  for (int round = 0; round < 20; ++round) {
    const Polygon a = make_wavy(random, 40);
    const auto region = make_no_fit(a, a);
    for (int i = 0; i < 50; ++i) {
      const Vec2 t{random.uniform(-300, 300), random.uniform(-300, 300)};
      double distance = 1e9;
      for (const Polygon& polygon : region)
        distance = std::min(distance, distance_to_boundary(polygon, t));
      if (distance > 0.01) CHECK(covers(region, t) == covers(region, Vec2{-t}));
    }
  }
}
