#pragma once
// The finished thing as it is carried, hung and stood up: mass, doors, hanging points, tipping.
// Estimates for planning, never a load calculation.

#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/structure/load.h"

namespace sixtyfold {

/// The mass of all panels with their tabs where the flat patterns are given, else of the outlines.
double measure_mass_kg(const Design& design);

/// A box around some copies, the smallest opening it can be carried through first: short side, long
/// side, depth. Of all directions, searched to a fraction of a degree, the one with the least short
/// side whose long side passes `tall_mm`; by the mid-surfaces' corners, and no thinner than a
/// board.
Vec3 measure_passage(const Design& design, const std::vector<int>& copies, double tall_mm);

struct FloorStanding {
  Vec3 down = -Vec3::UnitZ();  ///< unit, in the design's coordinates
  bool as_drawn = true;
  int feet = 0;  ///< corners of the support polygon
  double tip_deg =
      0;  ///< the lean at which it tips, about the nearest edge; 0: it stands on a point or an edge
};

/// Standing as drawn: z up. The floor finds every point within 2 mm of the lowest. Centre of mass
/// from the panels' areas.
FloorStanding measure_standing(const Design& design, const Vec3& down);
/// The most stable of: as drawn, and on every axis of the group.
FloorStanding find_best_standing(const Design& design);

struct Hanging {
  std::vector<int> copies;  ///< one point on each
  LoadResult load;          ///< reactions by point, in the same order
  double most_per_point_n = 0;
  double tilt_deg = 0;  ///< from as drawn
};

/// Points on the upper copies, spread evenly round: of several such sets one that hangs as drawn,
/// to 10 degrees, else the most upright; then the one with the largest reserve. Empty `copies` when
/// no set is in balance. `points` >= 1.
Hanging find_hanging(const Design& design, int points, const GlueLine& glue);

}  // namespace sixtyfold
