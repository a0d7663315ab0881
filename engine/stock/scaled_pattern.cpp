#include "engine/stock/scaled_pattern.h"

#include "engine/contact/part_joints.h"
#include "engine/stock/tab_fit.h"

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

std::vector<FlatPattern> make_flat_patterns(const Design& design) {
  const PartJoints joints = find_part_joints(design);
  FlatOptions options;
  options.thickness_mm = design.thickness_mm;
  options.tab_depth_mm = design.limits.tab_depth_mm;
  std::vector<Polygon> outlines;
  for (const Orbit& orbit : design.orbits) outlines.push_back(orbit.panel.outline_mm);
  const TabShapes shapes = fit_tabs(outlines, joints, options);
  std::vector<FlatPattern> patterns;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const Panel& panel = design.orbits[o].panel;
    patterns.push_back(make_flat_pattern(panel.outline_mm, panel.holes_mm, joints.joints[o],
                                         shapes[o], options));
  }
  return patterns;
}

}  // namespace sixtyfold
