#pragma once
// Subgroups and cosets, as sorted lists of element numbers.

#include <vector>

#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// Sorted element numbers, 0 first.
using Subgroup = std::vector<int>;

/// Smallest subgroup holding the given elements.
Subgroup make_generated_subgroup(const PointGroup& group, const std::vector<int>& generators);

/// All subgroups, by order, then lexicographically (I 59, O 30, T 10, Dn sigma(n)+tau(n)).
std::vector<Subgroup> find_subgroups(const PointGroup& group);

/// The subgroups g H g^-1, each once, sorted.
std::vector<Subgroup> find_conjugates(const PointGroup& group, const Subgroup& subgroup);

/// One subgroup of each conjugacy class, by order.
std::vector<Subgroup> find_subgroup_classes(const PointGroup& group);

/// Left cosets g H: coset_of_element[g] in 0 .. index-1, numbered by least element.
std::vector<int> find_left_cosets(const PointGroup& group, const Subgroup& subgroup);
/// Right cosets H g, numbered the same way.
std::vector<int> find_right_cosets(const PointGroup& group, const Subgroup& subgroup);

}  // namespace sixtyfold
