#pragma once
// Which joint of the part's own list each joint of the construction is, seen from both of its
// panels.

#include <array>
#include <string>
#include <vector>

#include "engine/part/slab.h"

namespace sixtyfold {

struct JointSides {
  /// index[n][s]: place in PartJoints::joints of the part that Joint::panels[s] is; -1: not found.
  std::vector<std::array<int, 2>> index;
  /// joint[copy][i]: number of the construction's joint; -1: none.
  std::vector<std::vector<int>> joint;
};

/// Matched by the middle of the joint and the place of the mate, to 0.5 mm.
JointSides find_joint_sides(const Design& design, const PartJoints& joints);

/// The tab that joins them: side that carries it and its number in the pattern; side -1 when the
/// joint has none. Where both carry one, the first.
struct TabOfJoint {
  int side = -1, tab = -1;
};
TabOfJoint find_tab(const Design& design, const Finished& finished, const JointSides& sides,
                    int joint);

/// The design with each joint only as long as its tab is at half its depth: what the glue holds.
/// Where there is no tab (slots, edges that the guide backs with a strip) the joint stays whole.
Design make_glued(const Design& design, const Finished& finished);

/// The letter that stands on the tab and beside its seat.
std::string letter_of(const Design& design, const Finished& finished, const JointSides& sides,
                      int joint);

}  // namespace sixtyfold
