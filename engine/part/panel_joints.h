#pragma once
// The construction's joints as one copy sees its own, and which edges carry tabs.

#include <optional>

#include "engine/design.h"

namespace sixtyfold {

/// All joints of the given copy (numbered through the orbits), in the order of design.joints.
///
/// All copies are cut alike, so a tab belongs to an edge of the part, not of a copy. Of an
/// edge-to-edge joint between different edges of the part one carries the tab, always the same;
/// between an edge and itself (up to the outline's own rotations) both copies carry one, glued to
/// each other. Between parts of different orbits the earlier orbit carries it.
std::vector<PanelJoint> find_panel_joints(const Design& design, int copy);

/// Largest k for which turning the outline by 2 pi / k about the frame's origin gives the same
/// outline within tolerance_mm; at most 60.
int measure_outline_fold(const Polygon& outline, double tolerance_mm);

/// Direction, in radians, of a line through the frame's origin at which the outline is its own
/// mirror image within tolerance_mm, corner by corner; nothing when there is none.
std::optional<double> find_mirror_line(const Polygon& outline, double tolerance_mm);

}  // namespace sixtyfold
