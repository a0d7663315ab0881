#include "engine/appeal/proportions.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/design.h"
#include "engine/random.h"
#include "engine/symmetry/orbit_scheme.h"
#include "engine/symmetry/point_group.h"
#include "tests/support/draws.h"
#include "tests/support/polyhedra.h"

using namespace sixtyfold;

namespace {

Orbit make_orbit(const PointGroup& group, const Frame& frame, const Polygon& outline) {
  return {{frame, outline, {}, {}}, group.elements};
}

}  // namespace

TEST_CASE("layers are the mean number of panels on a random line", "[appeal][proportions]") {
  // A cube of edge 2 in a sphere of radius sqrt 3: 6 x 4 / (2 pi 3) = 4/pi.
  const double radius = std::sqrt(3.0);
  CHECK(measure_layers(24, radius) == Approx(4 / pi));
  CHECK(measure_layers(24, 0) == 0);
  // The formula is Cauchy and Crofton's (Santalo 1976); here the lines are drawn: a random
  // direction and a random point of the disc across it (Kendall and Moran 1963).
  RandomStream random(5, Purpose::test, 0);
  constexpr int lines = 40000;
  int met = 0;
  for (int i = 0; i < lines; ++i) {
    const Vec3 along = test::draw_direction(random);
    const Vec3 right = along.unitOrthogonal(), up = along.cross(right);
    const double distance = radius * std::sqrt(random.uniform()), turn = 2 * pi * random.uniform();
    const Vec3 start = distance * (std::cos(turn) * right + std::sin(turn) * up);
    for (int axis = 0; axis < 3; ++axis)
      for (const double side : {-1.0, 1.0}) {
        const Vec3 at = start + along * ((side - start[axis]) / along[axis]);
        met += std::abs(at[(axis + 1) % 3]) <= 1 && std::abs(at[(axis + 2) % 3]) <= 1;
      }
  }
  // Each line meets none or two: the standard error is below 0.005.
  CHECK(double(met) / lines == Approx(4 / pi).margin(0.02));
}

TEST_CASE("slenderness is area over the square of the greatest extent", "[appeal][proportions]") {
  const Polygon square{{0, 0}, {3, 0}, {3, 3}, {0, 3}};
  CHECK(measure_slenderness(9, square) == Approx(0.5));
  Polygon disc;
  for (int i = 0; i < 720; ++i) disc.emplace_back(std::cos(i * pi / 360), std::sin(i * pi / 360));
  CHECK(measure_slenderness(measure_area(disc), disc) == Approx(pi / 4).epsilon(1e-4));
  CHECK(measure_slenderness(1, {}) == 0);
}

TEST_CASE("evenness is 1 for polyhedral groups and falls as a thing gets flat",
          "[appeal][proportions]") {
  CHECK(measure_evenness(test::make_cube(100, 4).orbits) == Approx(1));
  CHECK(measure_evenness(test::make_dodecahedron(100, 4).orbits) == Approx(1));
  // Four walls of a box, 2 x 2 each at distance 1. Over 4 A: x^2 gives (2 + 2/3)/4, z^2 gives 1/3.
  const PointGroup c4 = make_point_group("C4");
  const Frame wall = make_frame(Vec3::UnitX(), 1);
  const Polygon square{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  const Orbit walls = make_orbit(c4, wall, square);
  CHECK(measure_evenness(std::span(&walls, 1)) == Approx(std::sqrt((1 / 3.0) / (2 / 3.0))));
  const Orbit floor = make_orbit(make_point_group("C1"), make_frame(Vec3::UnitZ(), 0), square);
  CHECK(measure_evenness(std::span(&floor, 1)) == Approx(0).margin(1e-9));
}

TEST_CASE("evenness from one panel and its scheme is that of all copies", "[appeal][proportions]") {
  for (const char* symbol : {"C3", "D5", "D7", "T", "O", "I"}) {
    CAPTURE(symbol);
    const auto group = std::make_shared<const PointGroup>(make_point_group(symbol));
    const Vec3 normal = Vec3(0.3, 0.5, 0.7).normalized();
    const OrbitScheme scheme = make_orbit_scheme(group, normal, false, OnAxis::own_sector);
    const Frame frame = make_frame(normal, 0.8);
    const Polygon outline{{-0.4, -0.1}, {0.9, -0.3}, {0.6, 0.2}, {-0.2, 0.5}};
    const Orbit orbit = make_orbit(*group, frame, outline);
    CHECK(measure_evenness(scheme, frame, outline) ==
          Approx(measure_evenness(std::span(&orbit, 1))).epsilon(1e-9));
  }
}
