#pragma once
// Real small designs for tests: sampled, trimmed and scored, the first that keep the limits.

#include <memory>
#include <string>
#include <vector>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "engine/variant/variant.h"
#include "tests/support/draws.h"

namespace sixtyfold {

/// `count` designs, the groups taken in turn. Same arguments, same designs. `frame` above 0: with
/// windows.
inline std::vector<Design> make_found_designs(const std::vector<std::string>& groups, int count,
                                              std::uint64_t seed, double frame = 0) {
  Limits limits;
  limits.allow_flexible = true;
  VariantWorkspace work;
  Variant variant;
  std::vector<Design> found;
  for (std::uint64_t index = 0; static_cast<int>(found.size()) < count && index < 100000; ++index) {
    RandomStream random(seed, Purpose::test, index);
    const auto group =
        std::make_shared<const PointGroup>(make_point_group(groups[found.size() % groups.size()]));
    const OutlineFamily& family = outline_families()[random.below(outline_families().size())];
    const std::vector<double> values = test::draw_values(family.parameters, random);
    Draft draft;
    draft.normal = test::draw_direction(random);
    draft.hub = Vec2(random.uniform(-0.5, 0.5), random.uniform(-0.5, 0.5));
    draft.frame = frame;
    const double size = random.uniform(0.5, 1.6);
    for (const Vec2& p : family.draw(values)) draft.outline.push_back(draft.hub + size * p);
    const OrbitScheme scheme = make_orbit_scheme(group, draft.normal, false, OnAxis::own_sector);
    make_variant(scheme, draft, limits, work, variant);
    if (variant.status == Status::ok) found.push_back(make_design(scheme, variant, limits));
  }
  return found;
}

}  // namespace sixtyfold
