#pragma once
// From where a construction shows its order: a few degrees off its axes.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// A direction to look from.
struct Viewpoint {
  Vec3 towards_eye = Vec3::UnitX();  ///< unit; z is up
  Vec3 axis = Vec3::UnitX();         ///< the axis it lies a few degrees off, or itself
  int order = 1;                     ///< of that axis; 1: no axis
  std::string name;                  ///< "fivefold axis", "from above"
};

/// At least two, of different kinds. The first is the drawing's: in polyhedral groups 5 to 12
/// degrees off an axis of the highest order that does not point up, in others 40 degrees above the
/// horizon, near a twofold axis where there is one. The second is for a smaller picture beside it.
/// Where the copies are not those of the design's symmetry: a fixed direction and one square to it.
std::vector<Viewpoint> find_viewpoints(const Design& design);

/// Unit directions of both ends of all axes, for a view that is turned by hand to snap to.
std::vector<Vec3> find_axis_directions(const Design& design);

}  // namespace sixtyfold
