#include "results/build_effort.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

std::string EffortAssumptions::find_fault() const {
  if (!(1 <= cut_mm_per_minute && cut_mm_per_minute <= 1e6))
    return "the cutting speed is to be from 1 to 1000000 mm a minute";
  if (!(0 < stack_mm && stack_mm <= 1000)) return "the stack is to be up to 1000 mm high";
  if (!(0 <= minutes_per_joint && minutes_per_joint <= 1000) ||
      !(0 <= minutes_per_panel && minutes_per_panel <= 1000))
    return "the minutes a joint and a panel are to be from 0 to 1000";
  return "";
}

BuildEffort measure_build_effort(const Design& design, const EffortAssumptions& assumptions) {
  double minutes = 0;
  const double blanks = std::max(1.0, std::floor(assumptions.stack_mm / design.thickness_mm));
  for (const Orbit& orbit : design.orbits) {
    const double copies = static_cast<double>(orbit.copies.size());
    const Panel& panel = orbit.panel;
    double path =
        measure_perimeter(panel.flat_pattern_mm.empty() ? panel.outline_mm : panel.flat_pattern_mm);
    for (const Polygon& hole : panel.holes_mm) path += measure_perimeter(hole);
    minutes += std::ceil(copies / blanks) * path / assumptions.cut_mm_per_minute;
    minutes += copies * assumptions.minutes_per_panel;
  }
  const Score& score = design.score;
  minutes += score.joints * assumptions.minutes_per_joint;
  BuildEffort effort;
  effort.person_hours = minutes / 60;
  effort.difficulty = 1 + (score.joints > 100) + (score.joints > 200) +
                      (score.joints > 0 && score.min_angle_deg < 35) +
                      (score.joints > 0 && score.shortest_joint_mm < 80) + (score.internal_dof > 0);
  effort.difficulty = std::min(effort.difficulty, 5);
  return effort;
}

const char* find_difficulty_word(int difficulty) {
  static constexpr const char* words[] = {"easy", "steady", "careful", "demanding", "expert"};
  assert(1 <= difficulty && difficulty <= 5);
  return words[difficulty - 1];
}

}  // namespace sixtyfold
