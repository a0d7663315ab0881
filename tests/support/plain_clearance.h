#pragma once
// The slow reference of engine/contact/clearance.h: every copy in space, every wall against every
// wall.

#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold::plain {

struct Slabs {
  const OrbitScheme& scheme;
  Frame frame;  ///< in millimetres
  Polygon outline_mm, body_mm;
  double thickness_mm;
  std::vector<char> joined;  ///< by the scheme's pairs
};

/// As engine's measure_clearance.
double measure_clearance(const Slabs& slabs, double up_to_mm);

}  // namespace sixtyfold::plain
