#pragma once
// Random drafts of a wanted fineness: radial outlines in random planes, small (few copies meet) or
// large (nearly all do).

#include <vector>

#include "engine/random.h"
#include "engine/variant/variant.h"

namespace sixtyfold::bench {

enum class Fill { sparse, crowded };

inline Draft make_draft(std::uint64_t number, int points, Fill fill) {
  RandomStream random(5, Purpose::test, number);
  Draft draft;
  draft.normal = Vec3(random.normal(), random.normal(), random.normal()).normalized();
  draft.distance = random.uniform(0.4, 1);
  draft.hub = {random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3)};
  const double size = fill == Fill::sparse ? random.uniform(0.15, 0.4) : random.uniform(0.8, 1.6);
  double amplitude[5], phase[5];
  for (int k = 0; k < 5; ++k) {
    amplitude[k] = random.uniform(0, 0.5 / (k + 1));
    phase[k] = random.uniform(0, 2 * pi);
  }
  for (int j = 0; j < points; ++j) {
    const double angle = 2 * pi * j / points;
    double radius = 1;
    for (int k = 0; k < 5; ++k) radius += amplitude[k] * std::cos((k + 1) * angle + phase[k]);
    draft.outline.push_back(draft.hub +
                            size * std::max(radius, 0.1) * Vec2(std::cos(angle), std::sin(angle)));
  }
  return draft;
}

inline std::vector<Draft> make_drafts(int count, int points, Fill fill) {
  std::vector<Draft> drafts;
  for (int i = 0; i < count; ++i)
    drafts.push_back(make_draft(static_cast<std::uint64_t>(i), points, fill));
  return drafts;
}

inline OrbitScheme make_generic_scheme(const std::string& symbol) {
  return make_orbit_scheme(std::make_shared<const PointGroup>(make_point_group(symbol)),
                           Vec3(0.31, 0.52, 1.07).normalized(), false, OnAxis::own_sector);
}

}  // namespace sixtyfold::bench
