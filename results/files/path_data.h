#pragma once
// The path data of SVG 1.1 section 8.3 (the same in SVG 2 chapter 9): the string of a path's `d`
// attribute as closed loops of straight edges.

#include <string_view>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// p -> linear * p + shift.
struct Transform2 {
  Eigen::Matrix2d linear = Eigen::Matrix2d::Identity();
  Vec2 shift = Vec2::Zero();

  Vec2 operator()(const Vec2& p) const { return linear * p + shift; }
  /// First `inner`, then this.
  Transform2 operator*(const Transform2& inner) const {
    return {linear * inner.linear, linear * inner.shift + shift};
  }
};

/// All commands: M L H V C S Q T A Z and their relative forms. Curves and arcs become chords that
/// stay within `tolerance` of them, measured after `to_target`. Every subpath is closed, as filling
/// does. Loops may cross, be clockwise or be degenerate: the caller judges.
/// Throws std::invalid_argument, one sentence: what is wrong and at which character.
std::vector<Polygon> make_loops(std::string_view path_data, const Transform2& to_target,
                                double tolerance);

/// An ellipse as such a loop.
Polygon make_ellipse_loop(const Vec2& centre, const Vec2& radii, const Transform2& to_target,
                          double tolerance);

}  // namespace sixtyfold
