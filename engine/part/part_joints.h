#pragma once
// The joints of each part (panel type), and which joint of which part each one is glued to. All
// copies of an orbit are cut alike, so its first copy's joints, with every other copy's matched to
// them, say it all.

#include <string>
#include <vector>

#include "engine/part/panel_joints.h"

namespace sixtyfold {

/// One kind of meeting: joint `index[0]` of part `orbit[0]` against joint `index[1]` of part
/// `orbit[1]`, side 0 being Joint::panels[0]. Equal meetings all over the construction are one
/// pair.
struct JointPair {
  int orbit[2] = {0, 0};
  int index[2] = {0, 0};
  /// True when side 0's from -> to runs against side 1's in space.
  bool reversed = false;
  /// Tab joints: unit vector in side 1's own plane, the way a tab of side 0 runs that bends least.
  Vec2 run = Vec2::Zero();
};

struct PartJoints {
  /// joints[o]: the joints of the first copy of orbit o, with copies numbered through all orbits.
  std::vector<std::vector<PanelJoint>> joints;
  /// letter[o][i]: number of the letter that joint i of part o shares with what it is glued to.
  std::vector<std::vector<int>> letter;
  /// alike[o][i]: the first slot of part o that slot i changes places with by the part's own
  /// symmetry (see alike_slots.h), so that nobody has to tell them apart; i itself for all others.
  std::vector<std::vector<int>> alike;
  std::vector<JointPair> pairs;
  /// What is not the same on every copy, one sentence each; empty for a sound design.
  std::vector<std::string> faults;
};

/// From the design's panels, copies and list of joints. Every joint of every copy is matched, in
/// the part's own plane, to one of the first copy's. Seats run in the direction of the edge on
/// them.
PartJoints find_part_joints(const Design& design);

/// What people call the joints of a letter number: "A", "B", ... "Z", "AA", ...
std::string make_letter(int number);

/// Number of copies through all orbits.
int count_copies(const Design& design);
/// Orbit of a copy, and its number within the orbit.
struct CopyPlace {
  int orbit = 0, number = 0;
};
CopyPlace find_copy(const Design& design, int copy);
/// The copy's frame in space: the panel's frame turned by the copy's matrix. For an improper copy
/// normal = matrix * normal, so that x_axis x y_axis = -normal.
Frame make_copy_frame(const Design& design, int copy);

}  // namespace sixtyfold
