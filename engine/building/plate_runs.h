#pragma once
// Plates that stand beside each other in a list, some at a time in a ball: of ragged outlines there
// are thousands, of which a question concerns few.

#include <vector>

#include "engine/building/reach.h"

namespace sixtyfold {

struct EnclosingBall {
  Vec3 centre = Vec3::Zero();
  double radius_mm = 0;
};

/// About all of the plates [begin, end) of a list.
struct PlateRun {
  std::size_t begin = 0, end = 0;
  EnclosingBall ball;
};

/// A ball about all plates; of radius 0 about the origin when there are none.
EnclosingBall find_ball(const StandingPlate* const* first, std::size_t count);
/// The whole list in its order, eight plates at a time.
std::vector<PlateRun> make_plate_runs(const std::vector<const StandingPlate*>& plates);
/// Pointers to all of them.
std::vector<const StandingPlate*> point_to(const std::vector<StandingPlate>& plates);

}  // namespace sixtyfold
