#pragma once
// A point well inside an outline, which trimming never cuts away.

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// The point of a 24 x 24 grid over the outline's box that lies deepest inside; the first vertex
/// where the outline is too thin for any grid point to lie inside.
Vec2 find_hub(const Polygon& outline);

}  // namespace sixtyfold
