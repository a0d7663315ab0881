#pragma once
// Designs for drawing tests: a random star outline in a random plane under a group. Copies pass
// through each other, which a drawing must show as it is.

#include <cmath>
#include <string>

#include "engine/design.h"
#include "engine/random.h"
#include "engine/symmetry/point_group.h"
#include "tests/support/outlines.h"

namespace sixtyfold {

inline Design make_crossing_design(const std::string& symmetry, std::uint64_t seed) {
  RandomStream random(seed, Purpose::test, 77);
  Design design;
  design.symmetry = symmetry;
  design.name = "crossing";
  Orbit orbit;
  const Vec3 normal(random.normal(), random.normal(), random.normal());
  orbit.panel.frame = make_frame(normal, seed % 4 == 0 ? 0.0 : random.uniform(100, 600));
  const double size = random.uniform(150, 500);
  for (const Vec2& p : make_random_outline(random, 11, 0.3))
    orbit.panel.outline_mm.push_back(size * p);
  if (seed % 2 == 0) {
    Polygon hole;
    for (int i = 0; i < 7; ++i)
      hole.push_back(0.15 * size * Vec2(std::cos(2 * pi * i / 7), std::sin(2 * pi * i / 7)));
    orbit.panel.holes_mm.push_back(hole);
  }
  orbit.copies = make_point_group(symmetry).elements;
  design.orbits.push_back(orbit);
  return design;
}

}  // namespace sixtyfold
