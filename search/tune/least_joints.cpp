#include "search/tune/least_joints.h"

#include <algorithm>

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
  // How few joints the classes that are not chosen must add to make up for what is missing: sums of
  // distinct classes. The least that is enough exceeds it by less than one class. -1: they can not.
  std::vector<int> chosen;
  const auto find_added = [&](int missing, std::vector<int>& added) -> int {
    added.clear();
    if (missing <= 0) return 0;
    std::vector<int> rest;
    for (const int number : classes)
      if (std::find(chosen.begin(), chosen.end(), number) == chosen.end()) rest.push_back(number);
    const int most = missing + group.order();
    // with_last[s]: the class that reached the sum s first, -1: not reached.
    std::vector<int> with_last(static_cast<std::size_t>(most) + 1, -1);
    for (std::size_t k = 0; k < rest.size(); ++k)
      for (int sum = most; sum >= pairs_of(rest[k]); --sum) {
        const int before = sum - pairs_of(rest[k]);
        const auto at = static_cast<std::size_t>(sum), from = static_cast<std::size_t>(before);
        if (with_last[at] < 0 && (before == 0 || with_last[from] >= 0))
          with_last[at] = static_cast<int>(k);
      }
    for (int sum = missing; sum <= most; ++sum) {
      if (with_last[static_cast<std::size_t>(sum)] < 0) continue;
      // Each sum was reached by a later class than the sum it came from.
      for (int left = sum; left > 0;) {
        const int number =
            rest[static_cast<std::size_t>(with_last[static_cast<std::size_t>(left)])];
        added.push_back(number);
        left -= pairs_of(number);
      }
      return sum;
    }
    return -1;
  };
  // A generating set from which nothing can be left out grows its subgroup at least twofold with
  // each element: log2(order) elements at most, 7 for 120. Depth first, cheapest classes first,
  // giving up where the total is no longer better.
  std::vector<int> added;
  const auto search = [&](const auto& self, std::size_t next, int total, int reached) -> void {
    if (scheme.count_pieces(reached) == 1) {
      if (result.by_group == 0 || total < result.by_group) result.by_group = total;
      const int more = find_added(result.by_count - total, added);
      if (more < 0 || (result.least > 0 && total + more >= result.least)) return;
      result.least = total + more;
      result.pairs = chosen;
      result.pairs.insert(result.pairs.end(), added.begin(), added.end());
      return;
    }
    for (std::size_t i = next; i < classes.size(); ++i) {
      const int more = total + pairs_of(classes[i]);
      if (result.least > 0 && more >= result.least && more >= result.by_group) break;
      const int element = scheme.pairs[static_cast<std::size_t>(classes[i])].element;
      const int grown = scheme.subgroups->add(reached, element);
      if (grown == reached) continue;
      chosen.push_back(classes[i]);
      self(self, i + 1, more, grown);
      chosen.pop_back();
    }
  };
  search(search, 0, 0, scheme.outline_subgroup);
  return result;
}

}  // namespace sixtyfold
