#pragma once
// What is left of an outline when its glued edges stop short of their meeting lines: near enough
// for the search, without tabs and reliefs. engine/part/flat_pattern.h makes what is cut.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct BodyOutline {
  Polygon outline_mm;
  std::vector<double>
      setbacks_mm;       ///< how far each edge, from vertex i to i + 1, moves in; 0: it stays
  Polygon next_outline;  ///< scratch
  std::vector<double> next_setbacks;
};

/// Moves the edges in, one after the other, and leaves all setbacks 0: along each edge a strip as
/// wide as its setback goes. At a convex corner it reaches to the border, four setbacks past the
/// edge's end at most, at a reflex one it ends with the edge. Not for strips into which a far part
/// of the border dips.
void set_back(BodyOutline& body);

}  // namespace sixtyfold
