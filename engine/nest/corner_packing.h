#pragma once
// Equal rectangles in a rectangle by L-shaped pieces: slower than engine/nest/block_packing.h, and
// better where five blocks fall short.

#include <vector>

#include "engine/nest/block_packing.h"

namespace sixtyfold {

/// Packs at least `wanted` rectangles of sides part.x and part.y, turned by quarters or not, into
/// [0, room.x] x [0, room.y], or returns an empty list. Divides the room into two L-shaped pieces
/// and those again (Lins, Lins and Morabito 2003: no instance is known where this misses the
/// optimum); pieces that would waste more area than `wanted` leaves over are not looked at.
/// `effort` bounds the number of divisions tried.
std::vector<PackedRectangle> pack_rectangles_by_corners(const Vec2& room, const Vec2& part,
                                                        int wanted, long effort);

}  // namespace sixtyfold
