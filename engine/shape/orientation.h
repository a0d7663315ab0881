#pragma once
// The sign of a turn, exact for every finite input.

#include "engine/vectors.h"

namespace sixtyfold {

/// +1 when a, b, c turn left (counter-clockwise), -1 when they turn right, 0 when they lie on one
/// line. Exact for all finite doubles whose products neither overflow nor underflow: the rounded
/// determinant decides where its error bound allows, else an exact expansion (Shewchuk 1997).
int find_orientation(const Vec2& a, const Vec2& b, const Vec2& c);

/// True if the closed segments ab and cd have a point in common; exact like find_orientation.
bool segments_meet(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d);

}  // namespace sixtyfold
