#pragma once
// Random designs of a group: radial harmonics in a random plane, trimmed. For laws over many
// designs.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/random.h"
#include "engine/variant/variant.h"

namespace sixtyfold::test {

/// The index-th random draft of the group, made into a design when the variant is within the
/// limits; same symbol, limits and index: same design. `on_axis` puts the plane's normal on a
/// random axis, `upright` at right angles to the z axis.
std::optional<Design> make_random_design(const std::string& symbol, const Limits& limits,
                                         std::uint64_t index, bool on_axis = false,
                                         bool upright = false);

/// The first of them from that index on.
Design make_first_random_design(const std::string& symbol, const Limits& limits,
                                std::uint64_t index, bool on_axis = false, bool upright = false);

/// The draft as a design; nothing when the variant is turned down.
std::optional<Design> make_design_of(const OrbitScheme& scheme, const Draft& draft,
                                     const Limits& limits);

struct NumberedDesign {
  std::string symbol;
  std::uint64_t index;
  Design design;
};

/// Of 28 groups up to twelve designs each, five of Th, Oh and Ih, under the limits of each index.
std::vector<NumberedDesign> make_designs_of_many_groups(
    const std::function<Limits(std::uint64_t index)>& limits_of);

}  // namespace sixtyfold::test
