#pragma once
// Small designs made by hand, for tests of what is read and written.

#include <cmath>

#include "engine/design.h"

namespace sixtyfold {

/// Four upright squares of 200 mm in a ring, like a box without lid and floor: symmetry C4, joined
/// edge to edge at 90 degrees. Every field of the design holds something.
inline Design make_sample_design() {
  Design design;
  design.name = "four walls";
  design.symmetry = "C4";
  design.thickness_mm = 4.1;
  Orbit orbit;
  orbit.panel.frame = make_frame(Vec3::UnitX(), 100);
  orbit.panel.outline_mm = {{-100, -100}, {100, -100}, {100, 100}, {-100, 100}};
  orbit.panel.holes_mm = {{{-30, -30}, {30, -30}, {0, 1.0 / 3}}};
  orbit.panel.flat_pattern_mm = {{-98, -100}, {98, -100}, {98, 100}, {-98, 100}};
  for (int i = 0; i < 4; ++i) {
    const double c = i == 0 ? 1 : i == 2 ? -1 : 0, s = i == 1 ? 1 : i == 3 ? -1 : 0;
    Mat3 turn;
    turn << c, -s, 0, s, c, 0, 0, 0, 1;
    orbit.copies.push_back(turn);
    Joint joint;
    joint.panels[0] = i;
    joint.panels[1] = (i + 1) % 4;
    joint.kind = JointKind::edge;
    joint.from_mm = turn * Vec3(100, 100, -100);
    joint.to_mm = turn * Vec3(100, 100, 100);
    joint.angle_deg = 90;
    design.joints.push_back(joint);
  }
  design.orbits = {orbit};
  design.limits.thickness_mm = design.thickness_mm;
  design.limits.grain = Grain::along_short_side;
  design.limits.min_joint_mm = 61.7;
  design.limits.max_panels = 12;
  design.limits.allow_flexible = true;
  design.limits.joints_by = JointsBy::both;
  design.recipe = {"C4", "general", "radial", {0.1, 1e-300, -2.0 / 3}, 18446744073709551615u, 7};
  design.score.panels = 4;
  design.score.joints = 4;
  design.score.edge_joints = 4;
  design.score.pieces = 1;
  design.score.internal_dof = 1;
  design.score.diameter_mm = 200 * std::sqrt(3.0);
  design.score.openness = 0.1 + 0.2;
  return design;
}

}  // namespace sixtyfold
