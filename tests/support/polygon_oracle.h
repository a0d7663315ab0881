#pragma once
// Polygon questions answered by Boost.Geometry, an independent library: for tests alone.

#include "engine/shape/polygon.h"

namespace sixtyfold::oracle {

/// Area two polygons have in common.
double overlap_area(const Polygon& a, const Polygon& b);
/// Least distance between two polygons, 0 when they meet or one lies in the other.
double distance(const Polygon& a, const Polygon& b);

/// Area and centroid of an outline with holes.
struct AreaWithHoles {
  double area = 0;
  Vec2 centroid = Vec2::Zero();
};
AreaWithHoles measure_with_holes(const Polygon& outline, const std::vector<Polygon>& holes);

}  // namespace sixtyfold::oracle
