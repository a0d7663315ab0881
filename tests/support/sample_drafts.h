#pragma once
// Random drafts for tests: radial outlines in random planes, as in the prototype that the yields
// of the design were measured with.

#include "engine/random.h"
#include "engine/variant/variant.h"

namespace sixtyfold::support {

inline Draft make_sample_draft(std::uint64_t index) {
  RandomStream random(1, Purpose::test, index);
  Draft draft;
  draft.normal = Vec3(random.normal(), random.normal(), random.normal()).normalized();
  draft.distance = random.uniform(0.1, 1);
  double amplitude[5], phase[5];
  for (int k = 0; k < 5; ++k) {
    amplitude[k] = random.uniform(0, 0.5 / (k + 1));
    phase[k] = random.uniform(0, 2 * pi);
  }
  draft.hub = {random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3)};
  const double size = random.uniform(0.3, 1.2);
  for (int j = 0; j < 96; ++j) {
    const double angle = 2 * pi * j / 96;
    double radius = 1;
    for (int k = 0; k < 5; ++k) radius += amplitude[k] * std::cos((k + 1) * angle + phase[k]);
    draft.outline.push_back(draft.hub +
                            size * std::max(radius, 0.1) * Vec2(std::cos(angle), std::sin(angle)));
  }
  return draft;
}

inline OrbitScheme make_generic_scheme(const std::string& symbol) {
  return make_orbit_scheme(std::make_shared<const PointGroup>(make_point_group(symbol)),
                           Vec3(0.31, 0.52, 1.07).normalized(), false, OnAxis::own_sector);
}

/// A square that is far larger than any cell cut out of it.
inline Polygon make_large_square(double half_side) {
  return {{-half_side, -half_side},
          {half_side, -half_side},
          {half_side, half_side},
          {-half_side, half_side}};
}

}  // namespace sixtyfold::support
