#pragma once
// The line in which the planes of P and gP meet, in P's own coordinates.

#include <cmath>

#include "engine/shape/frame.h"

namespace sixtyfold {

/// Points p with side.dot(p) = offset. `side` is the unit vector that points out of the half-space
/// of gP's plane that holds the centre. Positions along the line are s = along().dot(p), measured
/// from the point nearest to the centre.
///
/// The point of gP at the same place has position -det(g) s on the meeting line of g^-1 (both are
/// measured from the same point, and n x gn turns over when n and gn change places).
struct MeetingLine {
  Vec2 side = Vec2::UnitX();
  double offset = 0;            ///< d tan(theta / 2)
  double sine = 0, cosine = 1;  ///< of theta, the angle between n and gn, in (0, pi)
  bool exists = false;          ///< false: the planes are parallel or equal

  double theta_rad() const { return std::atan2(sine, cosine); }
  Vec2 along() const { return {-side.y(), side.x()}; }
  double height_of(const Vec2& p) const { return side.dot(p) - offset; }
  double position_of(const Vec2& p) const { return along().dot(p); }
  Vec2 point_at(double s) const { return offset * side + s * along(); }
};

/// Planes closer to parallel than asin(1e-7) have no meeting line.
MeetingLine make_meeting_line(const Frame& frame, const Mat3& element);

}  // namespace sixtyfold
