#pragma once
// A person's own part, placed in space and made into a design.

#include "engine/design.h"

namespace sixtyfold {

struct PartPlacing {
  std::string symmetry = "I";
  Vec3 normal = Vec3(0.2, 0.5, 1);  ///< of the panel's plane; need not be a unit vector
  double distance_mm = 0;           ///< of the plane from the centre, >= 0
  double scale = 1;                 ///< of the part, above 0
  double turn_deg = 0;              ///< of the part in its plane
  Vec2 shift_mm = Vec2::Zero();     ///< of the part's origin from the plane's foot
};

struct PlacedPart {
  Design design;       ///< with limits as given, and no joints or score yet
  double trimmed = 0;  ///< share of the part's area cut off where copies would have collided
};

/// One copy for each element of the group, each cut back along the meeting lines where it would
/// pass through another. Throws std::invalid_argument when the symmetry or a number makes no sense,
/// or when copies collide right at the middle of the part.
PlacedPart place_part(const Polygon& outline_mm, const std::vector<Polygon>& holes_mm,
                      const PartPlacing& placing, const Limits& limits);

}  // namespace sixtyfold
