#include "tests/support/random_designs.h"

#include <stdexcept>

#include "tests/support/draws.h"

namespace sixtyfold::test {

std::optional<Design> make_design_of(const OrbitScheme& scheme, const Draft& draft,
                                     const Limits& limits) {
  VariantWorkspace work;
  Variant variant;
  make_variant(scheme, draft, limits, work, variant);
  if (variant.status != Status::ok) return std::nullopt;
  return make_design(scheme, variant, limits);
}

std::optional<Design> make_random_design(const std::string& symbol, const Limits& limits,
                                         std::uint64_t index, bool on_axis, bool upright) {
  RandomStream random(31, Purpose::test, index);
  const auto group = std::make_shared<const PointGroup>(make_point_group(symbol));
  Draft draft;
  draft.normal = test::draw_direction(random);
  if (on_axis) {
    const auto axes = find_axes(*group);
    if (!axes.empty()) draft.normal = axes[random.below(axes.size())].direction;
  }
  if (upright) draft.normal = Vec3(draft.normal.x(), draft.normal.y(), 0).normalized();
  draft.distance = random.uniform(0.35, 0.95);
  const double size = random.uniform(0.35, 0.8);
  const Waves waves = draw_waves(0.55, random);
  const Vec2 shift(random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3));
  draft.hub = shift;
  draft.outline = make_wavy_outline(waves, shift, size, 0.15, 48);
  const OrbitScheme scheme = make_orbit_scheme(group, draft.normal, false, OnAxis::own_sector);
  return make_design_of(scheme, draft, limits);
}

Design make_first_random_design(const std::string& symbol, const Limits& limits,
                                std::uint64_t index, bool on_axis, bool upright) {
  for (const std::uint64_t end = index + 2000; index < end; ++index)
    if (const auto design = make_random_design(symbol, limits, index, on_axis, upright))
      return *design;
  throw std::runtime_error("no random design of " + symbol);
}

std::vector<NumberedDesign> make_designs_of_many_groups(
    const std::function<Limits(std::uint64_t index)>& limits_of) {
  std::vector<NumberedDesign> designs;
  for (const char* symbol : {"I",   "O",   "T",  "D2",  "D3",  "D4",  "D5",  "D6", "D7",  "C3",
                             "C4",  "C5",  "C6", "C7",  "Td",  "Th",  "Oh",  "Ih", "D3d", "D5d",
                             "D3h", "D5h", "S6", "S10", "C3v", "C5v", "C3h", "C5h"}) {
    const int wanted = std::string(symbol).find('h') == 1 ? 5 : 12;
    int of_group = 0;
    for (std::uint64_t index = 0; index < 90 && of_group < wanted; ++index)
      if (const auto design =
              make_random_design(symbol, limits_of(index), 300 + index, index % 6 == 5)) {
        designs.push_back({symbol, index, *design});
        ++of_group;
      }
  }
  return designs;
}

}  // namespace sixtyfold::test
