#pragma once
// The board of a part that has holes.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Area of an outline less that of its holes, all counter-clockwise, in the unit of the points
/// squared.
double measure_net_area(const Polygon& outline, const std::vector<Polygon>& holes);

}  // namespace sixtyfold
