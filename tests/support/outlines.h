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

/// Corners at equal angles, `radius(angle)` from the origin.
template <class Radius>
Polygon make_radial(int corners, Radius radius) {
  Polygon polygon;
  for (int i = 0; i < corners; ++i) {
    const double t = 2 * pi * i / corners;
    polygon.emplace_back(radius(t) * std::cos(t), radius(t) * std::sin(t));
  }
  return polygon;
}

/// A little turned, so that no side lies along an axis.
inline Polygon make_regular(int corners, double radius) {
  Polygon polygon;
  for (int i = 0; i < corners; ++i) {
    const double angle = 0.1 + 2 * pi * i / corners;
    polygon.emplace_back(radius * std::cos(angle), radius * std::sin(angle));
  }
  return polygon;
}

}  // namespace sixtyfold
