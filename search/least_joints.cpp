#include "search/least_joints.h"

#include <algorithm>

#include "engine/symmetry/subgroup.h"

namespace sixtyfold {

LeastJoints find_least_joints(const OrbitScheme& scheme, const std::vector<int>& in_reach,
                              bool rigid) {
  const PointGroup& group = *scheme.group;
  LeastJoints result;
  if (rigid) result.by_count = (6 * (scheme.panels() - 1) + 4) / 5;

  std::vector<int> classes = in_reach;
  const auto pairs_of = [&](int number) {
    return scheme.pairs[static_cast<std::size_t>(number)].pairs;
  };
  std::stable_sort(classes.begin(), classes.end(),
                   [&](int a, int b) { return pairs_of(a) < pairs_of(b); });
  // A generating set from which nothing can be left out grows its subgroup at least twofold with
  // each element: log2(order) elements at most, 7 for 120. Depth first, cheapest classes first,
  // giving up where the total is no longer better.
  std::vector<int> chosen;
  const auto search = [&](const auto& self, std::size_t next, int total,
                          const Subgroup& reached) -> void {
    if (static_cast<int>(reached.size()) == group.order()) {
      if (result.by_group == 0 || total < result.by_group) result.by_group = total;
      int smallest = total;
      for (const int number : chosen) smallest = std::min(smallest, pairs_of(number));
      int least = total;
      if (least < result.by_count && smallest > 0)
        least += (result.by_count - least + smallest - 1) / smallest * smallest;
      if (result.least == 0 || least < result.least) {
        result.least = least;
        result.pairs = chosen;
      }
      return;
    }
    for (std::size_t i = next; i < classes.size(); ++i) {
      const int more = total + pairs_of(classes[i]);
      if (result.least > 0 && more >= result.least && more >= result.by_group) break;
      const int element = scheme.pairs[static_cast<std::size_t>(classes[i])].element;
      if (std::binary_search(reached.begin(), reached.end(), element)) continue;
      std::vector<int> generators = scheme.outline_stabiliser;
      for (const int number : chosen)
        generators.push_back(scheme.pairs[static_cast<std::size_t>(number)].element);
      generators.push_back(element);
      chosen.push_back(classes[i]);
      self(self, i + 1, more, make_generated_subgroup(group, generators));
      chosen.pop_back();
    }
  };
  search(search, 0, 0, make_generated_subgroup(group, scheme.outline_stabiliser));
  return result;
}

}  // namespace sixtyfold
