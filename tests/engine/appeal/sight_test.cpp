#include "engine/appeal/sight.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <queue>

#include "engine/design.h"
#include "engine/symmetry/point_group.h"
#include "engine/symmetry/ray_images.h"
#include "tests/support/polyhedra.h"

using namespace sixtyfold;

namespace {

Sight look_at(const Design& design) {
  std::vector<ShadeOrbit> orbits;
  for (const Orbit& orbit : design.orbits)
    orbits.push_back(
        {orbit.copies, {orbit.panel.frame, orbit.panel.outline_mm, orbit.panel.holes_mm}});
  return measure_sight(orbits);
}

Design make_plate(const Polygon& outline, const std::vector<Polygon>& holes) {
  Design design;
  design.orbits.push_back(
      {{make_frame(Vec3(0.3, -0.5, 0.8).normalized(), 0), outline, holes, {}}, {Mat3::Identity()}});
  return design;
}

/// Blades about all axes, pinwheel fashion, that hide each other in part.
Design make_blades(const std::string& symbol) {
  Design design;
  design.symmetry = symbol;
  const Frame frame = make_frame(Vec3(0.25, 0.5, 0.75).normalized(), 60);
  design.orbits.push_back({{frame, {{-70, -12}, {60, -25}, {80, 10}, {-20, 30}}, {}, {}},
                           make_point_group(symbol).elements});
  return design;
}

/// Every cell of every view against every copy, by point in polygon.
Sight look_slowly(const Design& design, int cells) {
  double radius = 0;
  for (const Orbit& orbit : design.orbits)
    for (const Vec2& p : orbit.panel.outline_mm)
      radius = std::max(radius, orbit.panel.frame.to_space(p).norm());
  std::vector<double> see_through;
  Sight mean;
  for (const Vec3& eye : make_spiral_rays(12)) {
    const Vec3 right = eye.unitOrthogonal(), up = eye.cross(right);
    std::vector<int> owner, projected, shown;
    for (int cell = 0; cell < cells * cells; ++cell) {
      const double x = (cell % cells + 0.5) * 2 * radius / cells - radius;
      const double y = (cell / cells + 0.5) * 2 * radius / cells - radius;
      int nearest = -1, copy_number = 0;
      double best = -1e9;
      for (const Orbit& orbit : design.orbits)
        for (const Mat3& copy : orbit.copies) {
          const Frame& frame = orbit.panel.frame;
          const Vec3 normal = copy * frame.normal, start = x * right + y * up;
          const double along = normal.dot(Vec3(copy * frame.origin - start)) / normal.dot(eye);
          const Vec3 at = copy.transpose() * (start + along * eye);
          projected.resize(std::max<std::size_t>(projected.size(), copy_number + 1), 0);
          shown.resize(projected.size(), 0);
          if (contains(orbit.panel.outline_mm, frame.to_plane(at))) {
            ++projected[copy_number];
            if (along > best) best = along, nearest = copy_number;
          }
          ++copy_number;
        }
      owner.push_back(nearest);
      if (nearest >= 0) ++shown[nearest];
    }
    std::vector<bool> outside(owner.size(), false);
    std::queue<int> open;
    const auto reach = [&](int row, int column) {
      if (row < 0 || column < 0 || row >= cells || column >= cells) return;
      const int cell = row * cells + column;
      if (outside[cell] || owner[cell] >= 0) return;
      outside[cell] = true;
      open.push(cell);
    };
    for (int i = 0; i < cells; ++i)
      reach(0, i), reach(cells - 1, i), reach(i, 0), reach(i, cells - 1);
    for (; !open.empty(); open.pop()) {
      const int row = open.front() / cells, column = open.front() % cells;
      reach(row + 1, column), reach(row - 1, column), reach(row, column + 1),
          reach(row, column - 1);
    }
    int filled = 0, empty = 0;
    for (std::size_t cell = 0; cell < owner.size(); ++cell) {
      filled += !outside[cell];
      empty += !outside[cell] && owner[cell] < 0;
    }
    see_through.push_back(double(empty) / filled);
    double share = 0;
    int told = 0;
    for (std::size_t i = 0; i < shown.size(); ++i)
      if (projected[i] >= 3) share += double(shown[i]) / projected[i], ++told;
    mean.legibility += share / told / 12;
  }
  std::sort(see_through.begin(), see_through.end());
  for (int i = 0; i < 6; ++i) mean.see_through += see_through[i] / 6;
  return mean;
}

}  // namespace

TEST_CASE("nobody sees through a closed body, and half its faces show", "[appeal][sight]") {
  for (const Design& design : {test::make_cube(100, 4), test::make_dodecahedron(100, 4)}) {
    const Sight sight = look_at(design);
    CHECK(sight.see_through == 0);
    // Of two opposite faces of a convex body one is seen whole and one not at all.
    CHECK(sight.legibility == Approx(0.5).margin(0.03));
  }
}

TEST_CASE("a plate is seen whole, and through its window", "[appeal][sight]") {
  const Polygon square{{-100, -100}, {100, -100}, {100, 100}, {-100, 100}};
  const Polygon window{{-50, -50}, {50, -50}, {50, 50}, {-50, 50}};
  CHECK(look_at(make_plate(square, {})).see_through == 0);
  CHECK(look_at(make_plate(square, {})).legibility == 1);
  // Parallel projection keeps ratios of areas in a plane: a quarter, from every side.
  const Sight sight = look_at(make_plate(square, {window}));
  // Where it is seen nearly edge on, the pictures are too coarse to show all of the window.
  CHECK(sight.see_through == Approx(0.25).margin(0.06));
  CHECK(sight.legibility == 1);
}

TEST_CASE("the picture's rows say what every cell alone would say", "[appeal][sight]") {
  for (const char* symbol : {"T", "D5", "O", "I"}) {
    CAPTURE(symbol);
    const Design design = make_blades(symbol);
    const Sight fast = look_at(design), slow = look_slowly(design, 48);
    CHECK(fast.see_through == Approx(slow.see_through).margin(0.005));
    CHECK(fast.legibility == Approx(slow.legibility).margin(0.005));
    const Sight finer = look_slowly(design, 96);
    CHECK(fast.see_through == Approx(finer.see_through).margin(0.015));
    CHECK(fast.legibility == Approx(finer.legibility).margin(0.02));
  }
}

TEST_CASE("renumbering the copies and scaling change nothing of what is seen", "[appeal][sight]") {
  Design design = make_blades("I");
  const Sight sight = look_at(design);
  std::reverse(design.orbits[0].copies.begin(), design.orbits[0].copies.end());
  design.orbits[0].panel.frame.origin *= 7;
  for (Vec2& p : design.orbits[0].panel.outline_mm) p *= 7;
  CHECK(look_at(design).see_through == Approx(sight.see_through).margin(1e-3));
  CHECK(look_at(design).legibility == Approx(sight.legibility).margin(1e-3));
}
