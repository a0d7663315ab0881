#include "engine/appeal/design_looks.h"

#include <algorithm>

#include "engine/appeal/proportions.h"
#include "engine/appeal/sight.h"
#include "engine/appeal/taste.h"
#include "engine/shape/net_area.h"

namespace sixtyfold {

void measure_looks(const Design& design, Score& score) {
  double area = 0, weighted = 0, radius = 0;
  std::vector<ShadeOrbit> shades;
  score.panels = 0;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const double one = measure_net_area(panel.outline_mm, panel.holes_mm);
    const double all = one * static_cast<double>(orbit.copies.size());
    area += all;
    weighted += all * measure_slenderness(one, make_convex_hull(panel.outline_mm));
    for (const Vec2& p : panel.outline_mm)
      radius = std::max(radius, panel.frame.to_space(p).norm());
    shades.push_back({orbit.copies, {panel.frame, panel.outline_mm, panel.holes_mm}});
    score.panels += static_cast<int>(orbit.copies.size());
  }
  score.layers = measure_layers(area, radius);
  score.slenderness = area > 0 ? weighted / area : 0;
  score.evenness = measure_evenness(design.orbits);
  const Sight sight = measure_sight(shades);
  score.see_through = sight.see_through;
  score.legibility = sight.legibility;
  score.appeal = measure_appeal(score);
}

}  // namespace sixtyfold
