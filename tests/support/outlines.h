#pragma once
// Random simple polygons for tests: star-shaped about the origin, with sharp and blunt corners.

#include <cmath>

#include "engine/random.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

inline Polygon make_random_outline(RandomStream& random, int corners, double least = 0.2) {
  Polygon outline;
  for (int i = 0; i < corners; ++i) {
    const double angle = 2 * pi * (i + 0.8 * random.uniform()) / corners;
    const double radius = random.uniform(least, 1);
    outline.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
  }
  return outline;
}

}  // namespace sixtyfold
