#include "search/tune/limits.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/width.h"
#include "engine/text.h"
#include "engine/tolerance.h"

namespace sixtyfold {

void ease_limits(const Score& score, Limits& limits, std::vector<std::string>& notes) {
  const auto ease = [&](bool met, auto& limit, auto has, const char* what) {
    if (met) return;
    notes.push_back(
        format("The original breaks a limit: %s is %.4g, the limit is %.4g. It is not made worse.",
               what, static_cast<double>(has), static_cast<double>(limit)));
    limit = has;
  };
  const double near = least_difference_mm;
  ease(score.min_width_mm >= limits.min_width_mm - near, limits.min_width_mm, score.min_width_mm,
       "the thinnest place");
  ease(score.shortest_joint_mm >= limits.min_joint_mm - near, limits.min_joint_mm,
       score.shortest_joint_mm, "the shortest joint");
  ease(score.min_angle_deg >= limits.min_angle_deg - 1e-6, limits.min_angle_deg,
       score.min_angle_deg, "the sharpest plane angle");
  ease(score.max_angle_deg <= limits.max_angle_deg + 1e-6, limits.max_angle_deg,
       score.max_angle_deg, "the flattest plane angle");
  ease(score.diameter_mm <= limits.max_diameter_mm + near, limits.max_diameter_mm,
       score.diameter_mm, "the diameter");
  ease(score.diameter_mm >= limits.min_diameter_mm - near, limits.min_diameter_mm,
       score.diameter_mm, "the diameter");
  ease(score.stiffness >= limits.min_stiffness, limits.min_stiffness, score.stiffness,
       "the stiffness number");
  ease(score.openness >= limits.min_openness - 0.03, limits.min_openness, score.openness,
       "the openness");
  ease(score.openness <= limits.max_openness + 0.03, limits.max_openness, score.openness,
       "the openness");
  ease(score.joints <= limits.max_joints, limits.max_joints, score.joints, "the number of joints");
  ease(score.panels <= limits.max_panels, limits.max_panels, score.panels, "the number of panels");
  ease(score.panels >= limits.min_panels, limits.min_panels, score.panels, "the number of panels");
  if (score.internal_dof > 0 && !limits.allow_flexible) {
    notes.push_back(
        format("The original is not rigid: %d internal degrees of freedom. It may stay flexible.",
               score.internal_dof));
    limits.allow_flexible = true;
  }
}

bool is_no_worse(const Inspection& changed, const Inspection& original) {
  if (changed.faults.empty()) return true;
  if (changed.faults.size() > original.faults.size()) return false;
  const Score &now = changed.design.score, &old = original.design.score;
  const bool fits = now.sheets > 0, fitted = old.sheets > 0;
  return now.slab_overlaps <= old.slab_overlaps &&
         (fits || (!fitted && now.panel_length_mm <= old.panel_length_mm &&
                   now.panel_width_mm <= old.panel_width_mm)) &&
         (now.min_clearance_mm >= old.min_clearance_mm ||
          now.min_clearance_mm >= changed.design.thickness_mm) &&
         now.internal_dof <= old.internal_dof && now.collisions == 0 && now.pieces == 1;
}

std::optional<Shortfalls> measure_shortfalls(const TuneJob& job, const Placed& placed) {
  constexpr double far = 0.6;  // such a miss no small change mends
  const Limits& limits = job.limits;
  if (placed.joints == 0 || placed.pieces != 1 || placed.crossing_mm > 0.5) return std::nullopt;
  if (placed.joints > limits.max_joints) return std::nullopt;
  if (is_rigid_wanted(job) && 5 * placed.joints < 6 * (job.scheme.panels() - 1))
    return std::nullopt;
  const auto miss = [](double has, double limit) {
    return limit > 0 && has < limit ? 1 - has / limit : 0.0;
  };
  Shortfalls shortfalls;
  shortfalls.joint_length = miss(placed.shortest_mm, limits.min_joint_mm);
  shortfalls.angle = miss(placed.min_angle_deg, limits.min_angle_deg) +
                     miss(180 - placed.max_angle_deg, 180 - limits.max_angle_deg);
  shortfalls.diameter = miss(placed.diameter_mm, limits.min_diameter_mm) +
                        miss(limits.max_diameter_mm, placed.diameter_mm);
  if (shortfalls.total() > far || !is_simple(placed.outline)) return std::nullopt;
  shortfalls.width = miss(measure_min_width(placed.outline, placed.holes), limits.min_width_mm);
  if (shortfalls.total() > far) return std::nullopt;
  return shortfalls;
}

}  // namespace sixtyfold
