#pragma once
// Can a hand press a joint, and can a clamp hold it, with everything that stands around it?

#include <string>
#include <vector>

#include "engine/building/joint_sides.h"

namespace sixtyfold {

/// Sizes of hands and clamps. The user's own are better.
struct ReachOptions {
  double hand_mm = 100;  ///< width of a passage for a hand; its height is 0.6 of it; from memory
  double arm_mm = 650;   ///< from the shoulder to the finger tips; from memory
  double clamp_opening_mm = 50;  ///< between the open jaws; common practice, no published source
  double clamp_depth_mm =
      60;  ///< from the jaws' tips to the clamp's back; common practice, no published source

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

struct Reach {
  bool hand = true;  ///< fingers can press the tab, the arm coming straight from outside, shoulders
                     ///< leaning in where it is too short
  bool clamp =
      true;  ///< a clamp can straddle the board it is glued to, from one of the board's edges
};

/// One plate of a copy in space, thinned by the slab tolerance, so that what is glued does not
/// count as in the way.
struct StandingPlate {
  ConvexPlate plate;
  int copy = 0;
  int tab = -1;        ///< number in the pattern, or -1: body
  int tab_joint = -1;  ///< the construction's joint that the tab is for
  int tab_mate = -1;   ///< the copy it is glued to
  Vec3 centre = Vec3::Zero();
  double radius_mm = 0;  ///< of the ball about `centre` that holds the plate
};

/// Plates of every copy.
std::vector<std::vector<StandingPlate>> make_standing_plates(const Design& design,
                                                             const Finished& finished,
                                                             const JointSides& sides);

/// One joint with the given copies placed; both of its own must be among them. A joint without a
/// tab counts as within a clamp's reach when a hand can hold it.
Reach measure_reach(const Design& design, const Finished& finished, const JointSides& sides,
                    const std::vector<std::vector<StandingPlate>>& plates,
                    const std::vector<int>& placed, int joint, const ReachOptions& options);
/// Its `hand` alone. What a hand reaches it reaches with less placed, too.
bool is_in_hand_reach(const Design& design, const Finished& finished, const JointSides& sides,
                      const std::vector<std::vector<StandingPlate>>& plates,
                      const std::vector<int>& placed, int joint, const ReachOptions& options);

}  // namespace sixtyfold
