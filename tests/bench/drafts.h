#pragma once
// Random drafts of a wanted fineness: radial outlines in random planes, small (few copies meet) or
// large (nearly all do).

#include <vector>

#include "engine/random.h"
#include "engine/variant/variant.h"
#include "tests/support/draws.h"
#include "tests/support/sample_drafts.h"

namespace sixtyfold::bench {

enum class Fill { sparse, crowded };

inline Draft make_draft(std::uint64_t number, int points, Fill fill) {
  RandomStream random(5, Purpose::test, number);
  Draft draft;
  draft.normal = test::draw_direction(random);
  draft.distance = random.uniform(0.4, 1);
  draft.hub = {random.uniform(-0.3, 0.3), random.uniform(-0.3, 0.3)};
  const double size = fill == Fill::sparse ? random.uniform(0.15, 0.4) : random.uniform(0.8, 1.6);
  draft.outline =
      test::make_wavy_outline(test::draw_waves(0.5, random), draft.hub, size, 0.1, points);
  return draft;
}

inline std::vector<Draft> make_drafts(int count, int points, Fill fill) {
  std::vector<Draft> drafts;
  for (int i = 0; i < count; ++i)
    drafts.push_back(make_draft(static_cast<std::uint64_t>(i), points, fill));
  return drafts;
}

using support::make_generic_scheme;

}  // namespace sixtyfold::bench
