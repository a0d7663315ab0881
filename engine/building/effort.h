#pragma once
// Rough hours and difficulty of building a design by hand, for comparing designs.

#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/stock/cutting.h"

namespace sixtyfold {

/// Change them to your own group's pace; where nothing else is said they are common practice
/// without a published source.
struct EffortAssumptions {
  CuttingOptions cutting;        ///< its thickness is the design's
  double minutes_per_joint = 4;  ///< fold, glue, hold
  double minutes_per_panel = 2;  ///< mark, score, clean

  /// Empty when the assumptions make sense, else one sentence.
  std::string find_fault() const;
};

/// Why a design is harder than easy: more than so many joints, planes that meet at so small an
/// angle, a joint so short, so many steps for which boards are bent or that have no way in, or a
/// whole that moves until it is held (no value).
struct EffortReason {
  enum class Kind { joints, plane_angle_deg, joint_length_mm, springs, hard_steps, motion };
  Kind kind = Kind::joints;
  double value = 0;
};

struct BuildEffort {
  double cutting_hours = 0;           ///< one person at one saw, see engine/stock/cutting.h
  double person_hours = 0;            ///< cutting, preparing and gluing, one person
  int difficulty = 1;                 ///< 1 easy to 5 for experts
  std::vector<EffortReason> reasons;  ///< for the levels above easy
};

/// From the flat pattern (else the outline), the thickness and the score's counts and angles. A
/// level of difficulty each for: more than 100 joints, more than 200, a plane angle below 35
/// degrees, a joint shorter than 80 mm, boards that have to be bent in, a construction that is
/// flexible; two levels for steps without a way in. Board thicker than the cutting height is cut
/// one by one. Throws std::invalid_argument for a fault in the assumptions.
BuildEffort measure_build_effort(const Design& design, const EffortAssumptions& assumptions = {});

}  // namespace sixtyfold
