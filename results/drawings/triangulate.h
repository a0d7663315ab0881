#pragma once
// Triangles that fill a polygon with holes, for graphics cards.

#include <array>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Points of all rings in order, the outer one first, and triangles over them, counter-clockwise.
struct TrianglePatch {
  std::vector<Vec2> points;
  std::vector<std::array<int, 3>> triangles;
};

/// Ear clipping (Meisters 1975), holes first joined to the outer ring by bridges (Eberly 2002).
/// Rings must be simple, counter-clockwise, holes inside and apart; O(n^3), so simplify first.
/// Fills exactly the polygon; a ring that is not simple gives some filling of about its area, never
/// a failure.
TrianglePatch make_triangles(const Polygon& outer, const std::vector<Polygon>& holes = {});

}  // namespace sixtyfold
