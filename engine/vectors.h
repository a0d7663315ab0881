#pragma once
// The vector types every part shares. Lengths are millimetres, angles radians, unless a name says
// otherwise (_deg for what people read).

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <vector>

namespace sixtyfold {

using Vec2 = Eigen::Vector2d;
using Vec3 = Eigen::Vector3d;
using Mat3 = Eigen::Matrix3d;

inline constexpr double pi = 3.14159265358979323846;

inline double to_degrees(double rad) { return rad * (180.0 / pi); }
inline double to_radians(double deg) { return deg * (pi / 180.0); }

/// z component of a x b: positive when b lies counter-clockwise of a.
inline double cross(const Vec2& a, const Vec2& b) { return a.x() * b.y() - a.y() * b.x(); }

}  // namespace sixtyfold
