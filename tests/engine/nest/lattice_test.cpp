#include "engine/nest/lattice.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/nest/no_fit.h"
#include "tests/support/outlines.h"

using namespace sixtyfold;

namespace {

double measure_density(const Polygon& polygon) {
  Polygon reflected = polygon;
  for (Vec2& p : reflected) p = -p;
  const PairRegions regions{make_no_fit(polygon, polygon), make_no_fit(polygon, reflected)};
  return measure_area(polygon) / find_densest_lattice(regions, 36).area_per_part();
}

}  // namespace

// Densest double lattices, tests/sources.md 4: pentagon (5 - sqrt 5) / 3, the densest packing of
// all (Kuperberg and Kuperberg 1990; Hales and Kusner 2016); heptagon 0.892690 (Kallus 2013);
// octagon (4 + 4 sqrt 2) / (5 + 4 sqrt 2) (Fejes Toth 1950); 9- to 12-gon de Graaf et al. 2011 and
// own.
TEST_CASE("densest double lattices of regular polygons are reached from below",
          "[stock][lattice]") {
  const double root2 = std::sqrt(2.0);
  const std::pair<int, double> known[] = {{3, 1.0},
                                          {4, 1.0},
                                          {5, (5 - std::sqrt(5.0)) / 3},
                                          {6, 1.0},
                                          {7, 0.892690},
                                          {8, (4 + 4 * root2) / (5 + 4 * root2)},
                                          {9, 0.901030},
                                          {10, 0.913720},
                                          {11, 0.907664},
                                          {12, 4 * std::sqrt(3.0) - 6}};
  for (const auto& [corners, density] : known) {
    const double found = measure_density(make_regular(corners, 100));
    INFO(corners << " corners: " << found << " of " << density);
    CHECK(found <= density + 1e-6);
    CHECK(found >= density * 0.998);
  }
}

// Every convex shape packs at least this densely (Kuperberg and Kuperberg 1990).
TEST_CASE("convex shapes reach the double lattice bound", "[stock][lattice]") {
  for (const Polygon& shape : {Polygon{{0, 0}, {90, 0}, {130, 40}, {60, 100}, {-10, 60}},
                               Polygon{{0, 0}, {200, 0}, {210, 30}, {120, 70}, {40, 50}}}) {
    CHECK(measure_density(shape) >= std::sqrt(3.0) / 2);
    CHECK(measure_density(shape) <= 1 + 1e-6);
  }
}

// Two L-trominoes make a 2 x 3 rectangle, and those tile.
TEST_CASE("an L-tromino tiles", "[stock][lattice]") {
  const Polygon tromino{{0, 0}, {200, 0}, {200, 100}, {100, 100}, {100, 200}, {0, 200}};
  CHECK(measure_density(tromino) == Approx(1).epsilon(0.001));
}
