#pragma once
// What is left of a sheet in pieces worth keeping.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct OffcutOptions {
  double least_side_mm = 100;  ///< narrower pieces are waste
  int most = 3;
  int cells = 400;  ///< of the raster along the sheet's long side; sides are short by up to a cell
};

/// Largest empty rectangles of a sheet [0, size.x] x [0, size.y] with the given polygons on it,
/// largest first, not overlapping each other.
std::vector<Box> find_offcuts(const std::vector<Polygon>& polygons, const Vec2& size,
                              const OffcutOptions& options);

}  // namespace sixtyfold
