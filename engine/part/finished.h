#pragma once
// The parts of a construction as they are cut, glued and folded: tabs fitted where there is room
// for them among all the copies.

#include <vector>

#include "engine/contact/convex_distance.h"
#include "engine/part/tab_fit.h"

namespace sixtyfold {

/// One part (panel type), cut, and folded in its own frame (x, y, height).
struct FinishedPart {
  FlatPattern pattern;              ///< as cut, with the fold allowance
  std::vector<ConvexPlate> plates;  ///< body pieces first, then one for each tab
  std::vector<int> tab_of;          ///< plates[i] is this tab of the pattern, or -1: body
};

struct Finished {
  PartJoints joints;
  TabShapes shapes;
  std::vector<std::vector<Polygon>>
      reliefs_mm;                   ///< cut off each part where another copy needs room
  std::vector<FinishedPart> parts;  ///< one for each orbit
  double hinge_depth_mm = 0;        ///< below the outside of a fold, see setback.h

  /// Whether a part has no body: boards so thick stop too far from each other.
  bool leaves_nothing() const;
};

/// Fits the tabs, then mends what would run into each other or come too close: a tab is made
/// shorter or shallower, whichever leaves more of it, turned to the other side (double tabs) or,
/// when it would run into something, left off, which FlatPattern::joints_without_tab says; where
/// two bodies share a little room beside a joint or a common corner, one of the two is relieved, by
/// 1 % of its area at most. What is more stays an overlap. Throws std::invalid_argument for bad
/// options.
Finished make_finished(const Design& design, const FlatOptions& options);

}  // namespace sixtyfold
