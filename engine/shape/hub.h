#pragma once
// A point well inside an outline, which trimming never cuts away.

#include <span>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// The point of a 24 x 24 grid over the outline's box that lies deepest inside; the first vertex
/// where the outline is too thin for any grid point to lie inside.
Vec2 find_hub(const Polygon& outline);

/// The same for an outline (first) with holes, and how far it lies from all borders: where there is
/// room for a number.
struct Spot {
  Vec2 point = Vec2::Zero();
  double room = 0;
};
Spot find_roomiest_spot(std::span<const Polygon> rings);

}  // namespace sixtyfold
