#pragma once
// How far a polygon's area lies from the origin.

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Integral of the squared distance from the origin over the enclosed area; signed like the area.
double measure_second_moment(const Polygon& polygon);

}  // namespace sixtyfold
