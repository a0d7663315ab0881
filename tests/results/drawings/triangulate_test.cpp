#include "results/drawings/triangulate.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/outlines.h"

using namespace sixtyfold;

namespace {

double measure_patch(const TrianglePatch& patch) {
  double area = 0;
  for (const auto& t : patch.triangles) {
    const auto at = [&](int i) { return patch.points[static_cast<std::size_t>(i)]; };
    const double part = cross(at(t[1]) - at(t[0]), at(t[2]) - at(t[0])) / 2;
    CHECK(part > 0);
    area += part;
  }
  return area;
}

bool in_triangle(const Vec2& p, const Vec2& a, const Vec2& b, const Vec2& c) {
  return cross(b - a, p - a) > 0 && cross(c - b, p - b) > 0 && cross(a - c, p - c) > 0;
}

}  // namespace

TEST_CASE("triangles fill random outlines with holes exactly once", "[triangulate]") {
  RandomStream random(3, Purpose::test, 9);
  for (int round = 0; round < 60; ++round) {
    const Polygon outer = make_random_outline(random, 3 + round, 0.5);
    std::vector<Polygon> holes;
    double area = measure_area(outer);
    for (int h = 0; h < round % 4; ++h) {
      Polygon hole = make_random_outline(random, 5 + h, 0.4);
      const Vec2 centre(0.2 * std::cos(2.1 * h), 0.2 * std::sin(2.1 * h));
      for (Vec2& p : hole) p = centre + 0.08 * p;
      bool inside = true;  // a coarse outline may come closer to its centre than the holes lie
      for (const Vec2& p : hole) inside = inside && contains(outer, p);
      if (!inside) continue;
      area -= measure_area(hole);
      holes.push_back(hole);
    }
    const TrianglePatch patch = make_triangles(outer, holes);
    CHECK(measure_patch(patch) == Approx(area).epsilon(1e-9));
    // n points and h holes are filled by n + 2h - 2 triangles (Euler), fewer only by flat ears.
    CHECK(patch.triangles.size() <= patch.points.size() + 2 * holes.size() - 2);
    for (int sample = 0; sample < 40; ++sample) {
      const Vec2 p(random.uniform(-1, 1), random.uniform(-1, 1));
      bool wanted = contains(outer, p);
      for (const Polygon& hole : holes) wanted = wanted && !contains(hole, p);
      int times = 0;
      for (const auto& t : patch.triangles)
        times += in_triangle(p, patch.points[static_cast<std::size_t>(t[0])],
                             patch.points[static_cast<std::size_t>(t[1])],
                             patch.points[static_cast<std::size_t>(t[2])]);
      CHECK(times == (wanted ? 1 : 0));
    }
  }
}

TEST_CASE("an outline that is not simple does not hang or fail", "[triangulate]") {
  CHECK(make_triangles({{0, 0}, {1, 1}, {1, 0}, {0, 1}}).triangles.size() <= 2);
  CHECK(make_triangles({{0, 0}, {0, 0}, {0, 0}}).triangles.empty());
  CHECK(make_triangles({}).triangles.empty());
}
