#pragma once
// Random drafts for tests: radial outlines in random planes, as in the prototype that the yields
// of the design were measured with.

#include "engine/random.h"
#include "engine/variant/variant.h"
#include "tests/support/draws.h"

namespace sixtyfold::support {

inline Draft make_sample_draft(std::uint64_t index) {
  RandomStream random(1, Purpose::test, index);
  Draft draft;
  draft.normal = test::draw_direction(random);
  draft.distance = random.uniform(0.1, 1);
  const test::Waves waves = test::draw_waves(0.5, random);
  draft.hub = {random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3)};
  const double size = random.uniform(0.3, 1.2);
  draft.outline = test::make_wavy_outline(waves, draft.hub, size, 0.1, 96);
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
