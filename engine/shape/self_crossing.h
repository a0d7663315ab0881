#pragma once
// Where outlines cross: for telling people, who want to know the place.

#include <optional>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// A point where two edges of a polygon meet that should not; nothing for a simple polygon
/// (is_simple). Time grows with the square of the vertices.
std::optional<Vec2> find_self_crossing(const Polygon& polygon);

/// A point that the boundaries of both have in common; nothing when they stay apart.
std::optional<Vec2> find_common_point(const Polygon& a, const Polygon& b);

}  // namespace sixtyfold
