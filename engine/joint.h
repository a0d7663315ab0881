#pragma once
// Joints as plain values: of the whole construction, and as one panel sees its own.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"
#include "engine/vectors.h"

namespace sixtyfold {

/// tab: an edge of one copy on the face of another. edge: an edge on an edge. slot: two halved
/// slots pushed into each other where the panels cross.
enum class JointKind { tab, edge, slot };

/// "tab", "edge" or "slot".
std::string name_of(JointKind kind);

/// One joint of the whole construction, between copies panels[0] and panels[1].
struct Joint {
  int panels[2] = {0, 0};  ///< for a tab joint, panels[0] is the copy whose edge it is
  JointKind kind = JointKind::tab;
  Vec3 from_mm = Vec3::Zero(), to_mm = Vec3::Zero();
  /// tab, slot: acute angle between the planes, (0, 90]. edge: interior angle between the two
  /// half-planes that end on the common line, (0, 180).
  double angle_deg = 0;

  double length_mm() const { return (to_mm - from_mm).norm(); }
};

/// What a panel itself has at a joint.
enum class JointRole {
  tab_edge,    ///< its edge lies on the line and carries the tab
  plain_edge,  ///< its edge lies on the line and carries no tab (the mate's tab is glued to it)
  double_tab,  ///< edges of both carry a tab and the tabs are glued to each other (involution)
  seat,        ///< its face holds the mate's tab
  slot,        ///< it is slotted along the line
};

/// One joint as copy `self` sees it, in that copy's own plane coordinates. For edges the segment
/// runs along the outline counter-clockwise, panel on the left of from -> to. For slots it starts
/// at the panel's own border: the slot is cut from `from` half-way to `to`.
struct PanelJoint {
  int mate = 0;   ///< number of the other copy
  int joint = 0;  ///< number in the construction's list of joints
  JointKind kind = JointKind::tab;
  JointRole role = JointRole::seat;
  Vec2 from_mm = Vec2::Zero(), to_mm = Vec2::Zero();
  double angle_rad = 0;  ///< as Joint::angle_deg
  /// Unit vector perpendicular to the line, in this panel's frame (x, y, height). plain_edge,
  /// double_tab and edge joints' tab_edge: in the mate's plane, to the mate's material. tab joints'
  /// tab_edge: in the mate's plane, the way the tab is folded (the side that bends it less).
  /// seat: in this panel's own plane, the side on which the mate's tab lies. slot: into the
  /// mate's plane, away from the centre.
  Vec3 mate_side = Vec3::Zero();
  /// The face of this panel on which the mate's body stands: +1 the normal's, -1 the other. 0 for
  /// tab joints' tab_edge and for slots, where the mate goes through this panel's plane.
  int face = 0;
};

}  // namespace sixtyfold
