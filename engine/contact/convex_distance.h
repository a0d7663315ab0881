#pragma once
// Distance between two convex plates of finite thickness.

#include <limits>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

/// A convex polygon in space, thickened to both sides: the points p_i +- half.
struct ConvexPlate {
  std::vector<Vec3> middle;  ///< at least one point
  Vec3 half = Vec3::Zero();  ///< half the thickness, along the normal
};

struct ConvexDistance {
  double distance = 0;  ///< 0 when they overlap or touch within about 1e-6 of their size
  Vec3 first = Vec3::Zero(), second = Vec3::Zero();  ///< nearest points; undefined on overlap
};

/// Gilbert, Johnson and Keerthi 1988, with the nearest point of each simplex found by regions
/// (Ericson 2005). Relative accuracy about 1e-9 of the larger body's size.
/// Where it is more than `beyond` any distance more than that is told, as soon as that is known.
ConvexDistance measure_distance(const ConvexPlate& a, const ConvexPlate& b,
                                double beyond = std::numeric_limits<double>::infinity());

/// Whether that distance is 0: known as soon as some plane keeps them apart.
bool do_meet(const ConvexPlate& a, const ConvexPlate& b);

}  // namespace sixtyfold
