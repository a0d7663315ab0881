#pragma once
// The copies that a symmetry group makes of a panel, and whether a design's copies are those.

#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// One element of the group for each place it carries the panel to: all of them for a panel in
/// general position, fewer where elements carry the panel onto itself. The identity comes first.
std::vector<Mat3> make_copies(const PointGroup& group, const Panel& panel);

/// Empty when the copies are, for every panel type, those that design.symmetry makes of its panel,
/// else one sentence without its stop. The group may lie in any orientation about the centre: its
/// elements are compared by determinant and trace (Altmann 1986, ch. 2: conjugate elements share
/// both). A panel alone that has the symmetry itself counts as all its copies.
std::string find_symmetry_fault(const Design& design);

}  // namespace sixtyfold
