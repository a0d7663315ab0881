#pragma once
// What is left of an outline when its glued edges stop short of their meeting lines: near enough for
// the search, without tabs and reliefs. engine/stock/flat_pattern.h makes what is cut.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct BodyOutline {
  Polygon outline_mm;
  std::vector<double> setbacks_mm;  ///< how far each edge, from vertex i to i + 1, moves in; 0: it stays
  Polygon next_outline;             ///< scratch
  std::vector<double> next_setbacks;
};

/// Moves the edges in, one after the other, and leaves all setbacks 0. At a convex corner the moved edge
/// runs on to the border, at a reflex one it ends with the edge. Not for strips into which a far part of
/// the border dips.
void set_back(BodyOutline& body);

}  // namespace sixtyfold
