#pragma once
// Where a panel's plane lies: the foot of the perpendicular from the centre, two axes, a normal.

#include "engine/vectors.h"

namespace sixtyfold {

/// Orthonormal, right-handed: x_axis x y_axis = normal. A point (a, b) of the panel lies at
/// origin + a x_axis + b y_axis.
struct Frame {
  Vec3 origin = Vec3::Zero(), x_axis = Vec3::UnitX(), y_axis = Vec3::UnitY(),
       normal = Vec3::UnitZ();

  Vec3 to_space(const Vec2& p) const { return origin + p.x() * x_axis + p.y() * y_axis; }
  Vec2 to_plane(const Vec3& p) const { return {x_axis.dot(p - origin), y_axis.dot(p - origin)}; }
  double height_of(const Vec3& p) const { return normal.dot(p - origin); }
};

/// Frame of the plane with unit normal `normal` at `distance` >= 0 from the centre. The x-axis is
/// the horizontal z x normal; for a normal within 1e-9 of the z-axis it is the x-axis of space.
Frame make_frame(const Vec3& normal, double distance);

}  // namespace sixtyfold
