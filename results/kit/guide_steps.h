#pragma once
// What the paper guide and the page that turns tell alike about every step.

#include <vector>

#include "engine/building/assembly.h"
#include "engine/building/closure.h"

namespace sixtyfold {

/// Where hands go at one step of a plan.
struct StepHands {
  std::vector<int> guided;  ///< the new panels that get joints
  int held = -1;     ///< the new panel farthest from those joints; -1: no joints, or one panel
  int loosest = -1;  ///< what stands can move: of it the panel that the fewest joints hold
};

/// One for each step of the plan.
std::vector<StepHands> find_step_hands(const Design& design, const AssemblyPlan& plan);

/// The first step from which on joints wait for their glue until the last piece is in; as many as
/// there are steps when every joint is glued at once.
std::size_t find_dry_from(const Closure& closure, const ClosureOptions& tolerance);

/// Whether some slots of the same letter are told apart by 1 and 2.
bool has_paired_slots(const Design& design, const Finished& finished);

/// Copies whose part lies turned over, its outside face inside.
std::vector<int> find_turned_over(const Design& design);

}  // namespace sixtyfold
