#pragma once
// A group's subgroups as numbers, and how they grow when elements are added one at a time: what
// would take a search through the multiplication table is a look-up.

#include <vector>

#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// Subgroup 0 is the identity alone.
class SubgroupSteps {
 public:
  SubgroupSteps() = default;
  explicit SubgroupSteps(const PointGroup& group);

  /// The smallest subgroup that holds the given one and the element.
  int add(int subgroup, int element) const {
    return next_[static_cast<std::size_t>(subgroup * elements_ + element)];
  }
  int order_of(int subgroup) const { return orders_[static_cast<std::size_t>(subgroup)]; }
  int count() const { return static_cast<int>(orders_.size()); }

 private:
  int elements_ = 0;
  std::vector<int> orders_;
  std::vector<int> next_;  ///< of each subgroup, by element
};

}  // namespace sixtyfold
