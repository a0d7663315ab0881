#pragma once
// Which elements of its group carry a design's first copies to the others, and what is built on it:
// classes of copies under a subgroup.

#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/symmetry/point_group.h"
#include "engine/symmetry/subgroup.h"

namespace sixtyfold {

/// elements[copy]: the elements that carry the first copy of its orbit to it, sorted; one for each
/// element of the panel's own symmetry. Empty when the copies are not full orbits of the group.
std::vector<std::vector<int>> find_copy_elements(const Design& design, const PointGroup& group);

/// Copies by left coset of the subgroup, cosets by their first copy; the subgroup's images of one
/// class are the classes. Empty when a copy would belong to several.
std::vector<std::vector<int>> find_coset_copies(const PointGroup& group, const Subgroup& subgroup,
                                                const std::vector<std::vector<int>>& copy_elements);

/// Schoenflies symbol of a subgroup, told from the orders of its elements: "C3", "D5", "T", "Cs",
/// "C2v"... Where the orders do not tell, "a subgroup of order N".
std::string name_subgroup(const PointGroup& group, const Subgroup& subgroup);

}  // namespace sixtyfold
