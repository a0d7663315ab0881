#include "tests/support/random_designs.h"

#include <cmath>

namespace sixtyfold::test {

std::optional<Design> make_random_design(const std::string& symbol, const Limits& limits,
                                         std::uint64_t index, bool on_axis, bool upright) {
  RandomStream random(31, Purpose::test, index);
  const auto group = std::make_shared<const PointGroup>(make_point_group(symbol));
  Draft draft;
  draft.normal = Vec3(random.normal(), random.normal(), random.normal()).normalized();
  if (on_axis) {
    const auto axes = find_axes(*group);
    if (!axes.empty()) draft.normal = axes[random.below(axes.size())].direction;
  }
  if (upright) draft.normal = Vec3(draft.normal.x(), draft.normal.y(), 0).normalized();
  draft.distance = random.uniform(0.35, 0.95);
  const double size = random.uniform(0.35, 0.8);
  double amplitude[5], phase[5];
  for (int k = 0; k < 5; ++k) {
    amplitude[k] = random.uniform(0, 0.55 / (k + 1.0));
    phase[k] = random.uniform(0, 2 * pi);
  }
  const Vec2 shift(random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3));
  draft.hub = shift;
  const int points = 48;
  for (int i = 0; i < points; ++i) {
    const double a = 2 * pi * i / points;
    double radius = 1;
    for (int k = 0; k < 5; ++k) radius += amplitude[k] * std::cos((k + 1) * a + phase[k]);
    draft.outline.emplace_back(shift +
                               size * std::max(radius, 0.15) * Vec2(std::cos(a), std::sin(a)));
  }
  const OrbitScheme scheme = make_orbit_scheme(group, draft.normal, false, OnAxis::own_sector);
  VariantWorkspace work;
  Variant variant;
  make_variant(scheme, draft, limits, work, variant);
  if (variant.status != Status::ok) return std::nullopt;
  return make_design(scheme, variant, limits);
}

}  // namespace sixtyfold::test
