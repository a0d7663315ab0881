#include "engine/part/scaled_pattern.h"

#include <algorithm>
#include <utility>

#include "engine/part/slab.h"

namespace sixtyfold {

Design make_scaled(Design design, double factor) {
  for (Orbit& orbit : design.orbits) {
    Panel& panel = orbit.panel;
    panel.frame.origin *= factor;
    for (Vec2& p : panel.outline_mm) p *= factor;
    for (Polygon& hole : panel.holes_mm)
      for (Vec2& p : hole) p *= factor;
    panel.flat_pattern_mm.clear();
  }
  for (Joint& joint : design.joints) joint.from_mm *= factor, joint.to_mm *= factor;
  design.score.diameter_mm *= factor;
  return design;
}

double measure_diameter(const Design& design) { return 2 * measure_enclosing_radius(design); }

FlatOptions make_flat_options(const Design& design) {
  FlatOptions options;
  options.thickness_mm = design.thickness_mm;
  options.tab_depth_mm = design.limits.tab_depth_mm;
  options.slot_play_mm = design.limits.slot_play_mm;
  // A leader who asks for shallow tabs gets shallow tabs.
  options.least_tab_depth_mm = std::min(options.least_tab_depth_mm, options.tab_depth_mm);
  return options;
}

std::vector<FlatPattern> make_flat_patterns(const Design& design) {
  return make_flat_patterns(design, make_flat_options(design));
}

std::vector<FlatPattern> make_flat_patterns(const Design& design, const FlatOptions& options) {
  Finished finished = make_finished(design, options);
  std::vector<FlatPattern> patterns;
  for (FinishedPart& part : finished.parts) patterns.push_back(std::move(part.pattern));
  return patterns;
}

}  // namespace sixtyfold
