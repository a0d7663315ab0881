#pragma once
// Polygon questions answered by Boost.Geometry, an independent library: for tests alone.

#include "engine/shape/polygon.h"

namespace sixtyfold::oracle {

/// Area two polygons have in common.
double overlap_area(const Polygon& a, const Polygon& b);
/// Least distance between two polygons, 0 when they meet or one lies in the other.
double distance(const Polygon& a, const Polygon& b);

}  // namespace sixtyfold::oracle
