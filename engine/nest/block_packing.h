#pragma once
// Equal rectangles in a rectangle, turned by quarters: the pallet loading problem.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct PackedRectangle {
  Vec2 low = Vec2::Zero();  ///< its lowest left corner
  bool upright = false;     ///< turned by a quarter: its first side runs along y
};

/// Packs rectangles of sides part.x and part.y into [0, room.x] x [0, room.y] by recursive division
/// into five blocks around a pinwheel, which takes in the straight cut (Morabito and Morales 1998);
/// all cuts at sums of the sides. Known instances fall one short of the optimum; for those see
/// engine/nest/corner_packing.h. `effort` bounds the number of divisions tried; beyond it straight
/// cuts alone.
std::vector<PackedRectangle> pack_rectangles(const Vec2& room, const Vec2& part, long effort);

}  // namespace sixtyfold
