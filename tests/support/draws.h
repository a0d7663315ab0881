#pragma once
// What tests draw at random, from one stream: same stream, same draws.

#include <algorithm>
#include <cmath>
#include <vector>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "engine/shape/polygon.h"

namespace sixtyfold::test {

/// Of length 1, all directions alike (Muller 1959).
inline Vec3 draw_direction(RandomStream& random) {
  return Vec3(random.normal(), random.normal(), random.normal()).normalized();
}

/// Each parameter within its range.
inline std::vector<double> draw_values(const std::vector<Parameter>& parameters,
                                       RandomStream& random) {
  std::vector<double> values;
  for (const Parameter& p : parameters) values.push_back(random.uniform(p.low, p.high));
  return values;
}

/// A point of the unit cube.
inline std::vector<double> draw_point(int dimension, RandomStream& random) {
  std::vector<double> point;
  for (int k = 0; k < dimension; ++k) point.push_back(random.uniform());
  return point;
}

/// A radius about a point by its first five harmonics.
struct Waves {
  double amplitude[5], phase[5];
};

/// The k-th amplitude is at most `largest` / k.
inline Waves draw_waves(double largest, RandomStream& random) {
  Waves waves;
  for (int k = 0; k < 5; ++k) {
    waves.amplitude[k] = random.uniform(0, largest / (k + 1));
    waves.phase[k] = random.uniform(0, 2 * pi);
  }
  return waves;
}

/// `size` times 1 and the waves, and never less than `least` times `size`, about the hub.
inline Polygon make_wavy_outline(const Waves& waves, const Vec2& hub, double size, double least,
                                 int points) {
  Polygon outline;
  for (int j = 0; j < points; ++j) {
    const double angle = 2 * pi * j / points;
    double radius = 1;
    for (int k = 0; k < 5; ++k)
      radius += waves.amplitude[k] * std::cos((k + 1) * angle + waves.phase[k]);
    outline.push_back(hub +
                      size * std::max(radius, least) * Vec2(std::cos(angle), std::sin(angle)));
  }
  return outline;
}

}  // namespace sixtyfold::test
