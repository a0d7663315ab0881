#pragma once
// Where holes to hang a construction from are drilled, and the lines from them to one ring above:
// a proposal for a competent rigger, never a load calculation.

#include <string>
#include <vector>

#include "engine/building/handling.h"
#include "engine/part/finished.h"

namespace sixtyfold {

struct RiggingOptions {
  int points = 3;
  double edge_mm = 40;   ///< from a hole's middle to any edge; common practice, no published source
  double seat_mm = 15;   ///< and to what is glued on either face
  double lean_deg = 40;  ///< steepest lean of a line from the vertical; from memory: below 45
};

struct RigPoint {
  int copy = 0;
  Vec2 hole_mm = Vec2::Zero();     ///< in the part's plane
  Vec3 point_mm = Vec3::Zero();    ///< in space
  double edge_mm = 0;              ///< distance to the nearest edge
  double upward_n = 0;             ///< at rest
  double line_mm = 0, line_n = 0;  ///< length to the ring, and its pull
};

struct Rigging {
  std::vector<RigPoint> points;  ///< empty: see fault
  std::string fault;             ///< why there are none, one sentence without full stop
  Vec3 up = Vec3::UnitZ(), centre_mm = Vec3::Zero(), ring_mm = Vec3::Zero();
  double tilt_deg = 0;  ///< from as drawn
  double most_lean_deg = 0;
  LoadResult load;
};

/// The same copies as `hanging`, a hole on each: the highest place of its body that keeps the
/// distances. The ring stands over the centre of gravity.
Rigging make_rigging(const Design& glued, const Finished& finished, const Hanging& hanging,
                     const GlueLine& glue, const RiggingOptions& options);

}  // namespace sixtyfold
