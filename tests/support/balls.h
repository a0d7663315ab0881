#pragma once
// Distances from the balls that a body is carved with.

#include <cmath>

#include "engine/shape/section.h"

namespace sixtyfold::test {

/// How far a point is off the ball's surface, in the measure in which it is round.
inline double measure_miss(const Ball& ball, const Vec3& p) {
  const Vec3 v = p - ball.centre;
  const double along = v.dot(ball.axis), aside = (v - along * ball.axis).norm();
  return std::hypot(along / ball.stretch, aside) - ball.radius;
}

}  // namespace sixtyfold::test
