#pragma once
// Rough hours and difficulty of building a design by hand, for comparing designs.

#include <string>

#include "engine/design.h"

namespace sixtyfold {

/// Common practice, no published source: change them to your own group's pace.
struct EffortAssumptions {
  double cut_mm_per_minute = 400;  ///< along the outline, through one stack
  double stack_mm = 25;            ///< height of board cut at once
  double minutes_per_joint = 4;    ///< fold, glue, hold
  double minutes_per_panel = 2;    ///< mark, score, clean

  /// Empty when the assumptions make sense, else one sentence.
  std::string find_fault() const;
};

struct BuildEffort {
  double person_hours = 0;  ///< cutting, preparing and gluing, one person
  int difficulty = 1;       ///< 1 easy to 5 for experts, see find_difficulty_word
};

/// From the flat pattern's perimeter, the thickness and the score's counts and angles. A level of
/// difficulty each for: more than 100 joints, more than 200, a plane angle below 35 degrees, a
/// joint shorter than 80 mm, a part that is flexible until closed (internal degrees of freedom).
BuildEffort measure_build_effort(const Design& design, const EffortAssumptions& assumptions = {});

/// "easy", "steady", "careful", "demanding", "expert" for 1 to 5.
const char* find_difficulty_word(int difficulty);

}  // namespace sixtyfold
