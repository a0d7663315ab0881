#pragma once
// How few joints a construction can have at all: what tells a design that can not be improved from
// one that was not.

#include <vector>

#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold {

struct LeastJoints {
  /// Least total over sets of pair classes that hang all copies together: with the outline's own
  /// rotations their elements generate the group. 0 when no set in reach does.
  int by_group = 0;
  /// 5 joints >= 6 (panels - 1), which every infinitesimally rigid body-hinge structure meets
  /// (Tay 1989; Whiteley 1988); 0 when it may flex.
  int by_count = 0;
  /// Least total of distinct classes that meets both: two joints of the same two copies lie on one
  /// line and are one hinge. 0 when no set in reach does.
  int least = 0;
  std::vector<int> pairs;  ///< numbers in scheme.pairs of a set that attains it
};

/// `in_reach`: numbers in scheme.pairs of classes that can touch at all.
LeastJoints find_least_joints(const OrbitScheme& scheme, const std::vector<int>& in_reach,
                              bool rigid);

}  // namespace sixtyfold
