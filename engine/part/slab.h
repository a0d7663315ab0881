#pragma once
// The finished construction as slabs of board: every copy with its thickness, its setbacks and its
// tabs folded into place. Which copies would run into each other, and how close the others come.

#include <string>
#include <vector>

#include "engine/part/finished.h"

namespace sixtyfold {

/// Solids overlap when they still do after each has been made this much thinner: what is glued
/// face to face touches and must not count.
inline constexpr double slab_tolerance_mm = 0.1;

/// Two copies and what of them meets: a tab's number in the pattern, or -1 for the body.
struct SlabPair {
  int copies[2] = {0, 0};
  int tabs[2] = {-1, -1};
  double distance_mm = 0;  ///< 0 for an overlap
  /// Where their mid-surfaces come closest, on the first and the second copy; only of what is not
  /// joined.
  Vec3 points_mm[2] = {Vec3::Zero(), Vec3::Zero()};
};

struct SlabReport {
  std::vector<SlabPair> overlaps;   ///< each pair of copies once, whole construction
  std::vector<SlabPair> too_close;  ///< copies that are not joined, nearer than the thickness
  double min_clearance_mm = 0;      ///< smallest distance of copies that are not joined; 0: none
  SlabPair closest;
  bool by_symmetry = false;  ///< only one copy's pairs were looked at
};

/// Clearance counts copies that share no joint, body to body and body to tab; within three
/// thicknesses of a point that both outlines share it is not counted, and tabs on one face may lie
/// side by side. When the copies are the full orbit of a group, pairs with the first copy are
/// looked at, one of each {g, g^-1}; else all pairs. Distances beyond 10 thicknesses count as that.
SlabReport measure_slabs(const Design& design, const Finished& finished);

/// Which of these plates, thought of as tabs of copy `self` and given in its own frame, would run
/// into copy `other` or, where the two are not joined, come too close to it.
std::vector<bool> find_conflicts(const Design& design, const Finished& finished, int self,
                                 int other, const std::vector<ConvexPlate>& plates);

}  // namespace sixtyfold
