#pragma once
// What a construction is, told from its panels and copies alone: every pair of copies is looked
// at, no group is needed. Slow and obvious beside engine/variant/variant.h, which it confirms.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// Two copies that pass through each other, or overlap in one plane.
struct Collision {
  int panels[2] = {0, 0};
  double length_mm = 0;  ///< along the meeting line; for coplanar copies, square root of the area
  bool coplanar = false;
  Vec3 middle_mm = Vec3::Zero();
};

/// A copy as the construction numbers it.
struct PlacedPanel {
  const Panel* panel;
  Mat3 copy;
  Frame frame;       ///< of the image; for an improper copy the axes are left-handed
  double radius_mm;  ///< of the circle about `centre_mm` that holds the outline
  Vec3 centre_mm;
};

std::vector<PlacedPanel> find_placed_panels(const Design& design);

struct Rebuilt {
  std::vector<Joint> joints;   ///< at least 5 mm long
  std::vector<Joint> touches;  ///< shorter
  std::vector<Collision> collisions;
  int pieces = 0;  ///< components of the joint graph
  double collision_length_mm = 0;
};

/// Contacts of all pairs of copies. A boundary within contact_band_mm of a meeting line lies on
/// it. Crossings are slots when the design's limits join by slots and the two copies can be slid
/// into each other (engine/contact/slot.h), else collisions.
Rebuilt rebuild(const Design& design);

}  // namespace sixtyfold
