#include "engine/design.h"

#include <algorithm>

namespace sixtyfold {

double measure_reach(const Panel& panel) {
  double reach = 0;
  for (const Vec2& p : panel.outline_mm) reach = std::max(reach, panel.frame.to_space(p).norm());
  return reach;
}

double measure_enclosing_radius(const Design& design) {
  double radius = 0;
  for (const Orbit& orbit : design.orbits) radius = std::max(radius, measure_reach(orbit.panel));
  return radius;
}

}  // namespace sixtyfold
