#pragma once
// A person's own part, placed in space and made into a design.

#include "engine/design.h"

namespace sixtyfold {

/// The part as drawn, in millimetres. Its origin is what the placing turns and shifts.
struct OwnPart {
  Polygon outline_mm;
  std::vector<Polygon> holes_mm;
};

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
  Polygon drawn_mm;    ///< the outline as drawn, in the panel's plane
  double kept = 1;     ///< share of the drawn outline's area that is left of it
  double blunted = 0;  ///< share of it that went with tips thinner than the limits allow
};

/// Whether the holes lie inside the outline and apart from each other, edges and all: where an
/// outline is not convex its edge can cross a hole whose corners all lie inside.
bool are_holes_inside(const Polygon& outline, const std::vector<Polygon>& holes);

/// The drawing in the plane of its placing, before anything is cut off.
OwnPart make_laid_part(const OwnPart& part, const PartPlacing& placing);

/// One copy for each element of the group, each cut back along the meeting lines where it would
/// pass through another, and its tips cut off where they are thinner than the limits allow.
/// Throws std::invalid_argument when the symmetry or a number makes no sense, or when copies
/// collide right at the middle of the part or in one of its holes.
PlacedPart place_part(const OwnPart& part, const PartPlacing& placing, const Limits& limits);

/// All copies of the drawing as it stands, whether they pass through each other or not.
Design make_drawn_design(const OwnPart& part, const PartPlacing& placing, const Limits& limits);

}  // namespace sixtyfold
