#include "engine/building/tab_side.h"

#include "engine/building/assembly_order.h"
#include "engine/part/slab.h"

namespace sixtyfold {

namespace {

/// What a choice of sides costs.
struct Cost {
  int hard_steps = 0, spring_steps = 0, overlaps = 0;
};

Finished fit(const Design& design, FlatOptions options, TabSide side) {
  options.tab_side = side;
  return make_finished(design, options);
}

Cost measure_cost(const Design& design, const Finished& finished) {
  const AssemblyOrder order = find_assembly_order(design, finished);
  return {order.hard_steps, order.spring_steps,
          static_cast<int>(measure_slabs(design, finished).overlaps.size())};
}

/// Tabs that lie on another side than in `other`; -1 where one of the two has fewer tabs, or folds
/// farther than is comfortable by hand.
int count_moved(const Finished& finished, const Finished& other) {
  int moved = 0;
  for (std::size_t o = 0; o < finished.parts.size(); ++o) {
    const auto &own = finished.parts[o].pattern.tabs, &theirs = other.parts[o].pattern.tabs;
    if (own.size() != theirs.size()) return -1;
    for (std::size_t k = 0; k < own.size(); ++k) {
      if (own[k].fold_side == theirs[k].fold_side) continue;
      if (own[k].fold_rad > to_radians(most_comfortable_fold_deg)) return -1;
      ++moved;
    }
  }
  return moved;
}

}  // namespace

TabSide choose_tab_side(const Design& design, const FlatOptions& options) {
  const Finished inside = fit(design, options, TabSide::inside),
                 shortest = fit(design, options, TabSide::shortest);
  if (inside.leaves_nothing() || shortest.leaves_nothing() || count_moved(inside, shortest) <= 0)
    return TabSide::shortest;
  const Cost hidden = measure_cost(design, inside), plain = measure_cost(design, shortest);
  return hidden.hard_steps <= plain.hard_steps && hidden.spring_steps <= plain.spring_steps &&
                 hidden.overlaps <= plain.overlaps
             ? TabSide::inside
             : TabSide::shortest;
}

}  // namespace sixtyfold
