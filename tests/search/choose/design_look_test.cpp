#include "search/choose/design_look.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/found_designs.h"

using namespace sixtyfold;

namespace {

Design scale(Design design, double factor) {
  for (Orbit& orbit : design.orbits) {
    orbit.panel.frame.origin *= factor;
    for (Vec2& p : orbit.panel.outline_mm) p *= factor;
  }
  return design;
}

}  // namespace

TEST_CASE("a look does not change with scale or the panel's own axes", "[look]") {
  for (const Design& design : make_found_designs({"I", "O", "D5"}, 6, 4)) {
    const Look look = find_look(design);
    CHECK(measure_look_difference(look, look) == 0);
    CHECK(measure_look_difference(look, find_look(scale(design, 1.7))) < 1e-9);
    Design turned = design;  // the same points of space, written from a turned frame
    Frame& frame = turned.orbits[0].panel.frame;
    const Vec3 x = frame.x_axis, y = frame.y_axis;
    frame.x_axis = std::cos(0.7) * x + std::sin(0.7) * y;
    frame.y_axis = -std::sin(0.7) * x + std::cos(0.7) * y;
    for (Vec2& p : turned.orbits[0].panel.outline_mm)
      p = Vec2(std::cos(0.7) * p.x() + std::sin(0.7) * p.y(),
               -std::sin(0.7) * p.x() + std::cos(0.7) * p.y());
    CHECK(measure_look_difference(look, find_look(turned)) < 0.05);
  }
}

TEST_CASE("unlike designs differ more than a design and its near copy", "[look]") {
  const std::vector<Design> designs = make_found_designs({"I"}, 6, 9);
  for (const Design& design : designs) {
    Design near = design;
    for (Vec2& p : near.orbits[0].panel.outline_mm) p *= 0.985;
    const double little = measure_look_difference(find_look(design), find_look(near));
    CHECK(little > 0);
    for (const Design& other : designs)
      if (&other != &design)
        CHECK(measure_look_difference(find_look(design), find_look(other)) > little);
  }
}

TEST_CASE("the choice keeps the smallest difference near the best possible", "[look]") {
  RandomStream random(2, Purpose::test, 30);
  for (int round = 0; round < 20; ++round) {
    std::vector<Look> looks;
    for (int i = 0; i < 11; ++i) looks.push_back({random.uniform(), random.uniform()});
    const std::vector<int> chosen = choose_different(looks, 4);
    REQUIRE(chosen.size() == 4);
    // Slow and obvious: all choices of four.
    double best = 0;
    for (int a = 0; a < 11; ++a)
      for (int b = a + 1; b < 11; ++b)
        for (int c = b + 1; c < 11; ++c)
          for (int d = c + 1; d < 11; ++d)
            best = std::max(best, measure_smallest_difference(looks, {a, b, c, d}));
    const double got = measure_smallest_difference(looks, chosen);
    CHECK(got <= best + 1e-12);
    CHECK(got >= best / 2);  // Gonzalez 1985
  }
  CHECK(choose_different({{0}, {1}}, 5) == std::vector<int>{0, 1});
  CHECK(choose_different({{0}, {1}}, 0).empty());
  CHECK(choose_different({{0}, {0}, {0}}, 2) == std::vector<int>{0, 1});
  CHECK(choose_different({}, 3).empty());
}
