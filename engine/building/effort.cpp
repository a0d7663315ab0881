#include "engine/building/effort.h"

#include <algorithm>
#include <stdexcept>

namespace sixtyfold {

std::string EffortAssumptions::find_fault() const {
  if (!(0 <= minutes_per_joint && minutes_per_joint <= 1000) ||
      !(0 <= minutes_per_panel && minutes_per_panel <= 1000))
    return "the minutes a joint and a panel are to be from 0 to 1000";
  return cutting.find_fault();
}

BuildEffort measure_build_effort(const Design& design, const EffortAssumptions& assumptions) {
  if (const std::string fault = assumptions.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  CuttingOptions cutting = assumptions.cutting;
  cutting.thickness_mm = design.thickness_mm;
  cutting.cutting_height_mm = cutting.tool == CutTool::knife
                                  ? design.thickness_mm
                                  : std::max(cutting.cutting_height_mm, design.thickness_mm);
  BuildEffort effort;
  double hand_min = 0;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const int copies = static_cast<int>(orbit.copies.size());
    effort.cutting_hours +=
        plan_cutting(panel.flat_pattern_mm.empty() ? panel.outline_mm : panel.flat_pattern_mm,
                     panel.holes_mm, copies, cutting)
            .total_time_min /
        60;
    hand_min += copies * assumptions.minutes_per_panel;
  }
  const Score& score = design.score;
  hand_min += score.joints * assumptions.minutes_per_joint;
  effort.person_hours = effort.cutting_hours + hand_min / 60;

  using Kind = EffortReason::Kind;
  const auto add_level = [&](bool harder, Kind kind, double value) {
    if (!harder) return;
    ++effort.difficulty;
    effort.reasons.push_back({kind, value});
  };
  add_level(score.joints > 100, Kind::joints, score.joints);
  if (score.joints > 200) ++effort.difficulty;
  add_level(score.joints > 0 && score.min_angle_deg < 35, Kind::plane_angle_deg,
            score.min_angle_deg);
  add_level(score.joints > 0 && score.shortest_joint_mm < 80, Kind::joint_length_mm,
            score.shortest_joint_mm);
  add_level(score.spring_steps > 0, Kind::springs, score.spring_steps);
  add_level(score.hard_steps > 0, Kind::hard_steps, score.hard_steps);
  if (score.hard_steps > 0) ++effort.difficulty;
  add_level(score.internal_dof > 0, Kind::motion, 0);
  effort.difficulty = std::min(effort.difficulty, 5);
  return effort;
}

}  // namespace sixtyfold
