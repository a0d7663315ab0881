#pragma once
// The sign of a turn, exact for every finite input.

#include <cmath>

#include "engine/vectors.h"

namespace sixtyfold {

/// +1 when a, b, c turn left (counter-clockwise), -1 when they turn right, 0 when they lie on one
/// line. Exact for all finite doubles whose products neither overflow nor underflow: the rounded
/// determinant decides where its error bound allows, else an exact expansion (Shewchuk 1997).
inline int find_orientation(const Vec2& a, const Vec2& b, const Vec2& c);
/// By the expansion alone.
int find_exact_orientation(const Vec2& a, const Vec2& b, const Vec2& c);

/// True if the closed segments ab and cd have a point in common; exact like find_orientation.
bool segments_meet(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d);

inline int find_orientation(const Vec2& a, const Vec2& b, const Vec2& c) {
  const double left = (a.x() - c.x()) * (b.y() - c.y());
  const double right = (a.y() - c.y()) * (b.x() - c.x());
  const double determinant = left - right;
  // (3 + 16 eps) eps with eps = 2^-53, Shewchuk 1997.
  const double bound = 3.3306690738754716e-16 * (std::abs(left) + std::abs(right));
  if (determinant > bound) return 1;
  if (-determinant > bound) return -1;
  return find_exact_orientation(a, b, c);
}

}  // namespace sixtyfold
