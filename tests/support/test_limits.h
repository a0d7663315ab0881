#pragma once
// Limits for tests of laws that hold whatever is turned down.

#include "engine/limits.h"

namespace sixtyfold::test {

/// Turn down what is shorter or narrower than this or meets at less than this angle, or within it
/// of flat, and hardly anything else.
inline Limits make_easy_limits(double min_joint_mm, double min_width_mm, double min_angle_deg) {
  Limits limits;
  limits.min_joint_mm = min_joint_mm;
  limits.min_width_mm = min_width_mm;
  limits.min_angle_deg = min_angle_deg;
  limits.max_angle_deg = 180 - min_angle_deg;
  limits.min_openness = 0;
  limits.max_openness = 1;
  limits.allow_flexible = true;
  return limits;
}

/// Turn nothing down.
inline Limits make_open_limits() {
  Limits limits = make_easy_limits(0, 0, 0);
  limits.sheet_width_mm = limits.sheet_height_mm = 20000;
  return limits;
}

/// Of boards that do not fold: halved slots alone.
inline Limits make_slot_limits() {
  Limits limits;
  limits.joints_by = JointsBy::slot;
  limits.allow_flexible = true;
  limits.min_angle_deg = 30;
  limits.max_angle_deg = 150;
  limits.min_width_mm = 20;
  return limits;
}

}  // namespace sixtyfold::test
