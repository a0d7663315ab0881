#pragma once
// A straight stretch between two points, in the plane or in space.

#include <algorithm>

namespace sixtyfold {

/// Share of the way from a to b, in [0, 1], at which p is nearest; 0 where a and b are one point.
/// `Vec`: Vec2 or Vec3.
template <class Vec>
double find_nearest_share(const Vec& a, const Vec& b, const Vec& p) {
  const Vec along = b - a;
  const double square = along.squaredNorm();
  return square > 0 ? std::clamp((p - a).dot(along) / square, 0.0, 1.0) : 0.0;
}

}  // namespace sixtyfold
