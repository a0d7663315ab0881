#pragma once
// Cuts a polygon with holes into convex pieces that do not overlap.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Convex counter-clockwise pieces that cover the even-odd inside of the rings: horizontal bands
/// between the vertices' heights, stacked up again as long as they stay convex. Heights closer than
/// 1e-6 mm are one. Not the fewest possible.
std::vector<Polygon> find_convex_pieces(const std::vector<Polygon>& rings);

}  // namespace sixtyfold
