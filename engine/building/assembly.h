#pragma once
// In which order the parts are put together: modules first, then modules in order.

#include <string>
#include <vector>

#include "engine/building/joint_sides.h"
#include "engine/building/modules.h"
#include "engine/building/reach.h"

namespace sixtyfold {

struct AssemblyOptions {
  int most_in_module = 12;  ///< largest number of panels glued first as one piece
  ReachOptions reach;

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// How a module comes in.
enum class ComingIn {
  straight,         ///< a straight push with its tabs folded
  tabs_open,        ///< a straight push while the tabs of this step's joints are held open
  no_straight_push  ///< something must be sprung aside: a closing piece
};

struct AssemblyStep {
  std::vector<int> copies;  ///< the module brought in
  std::vector<int> joints;  ///< made at this step, with what is already there
  ComingIn coming_in = ComingIn::straight;
  Vec3 push = Vec3::Zero();  ///< unit; the module moves along -push to its place
  int internal_dof = 0;      ///< of everything placed, folds free
};

struct AssemblyPlan {
  ModuleChoice chosen;
  std::vector<ModuleChoice> considered;            ///< best first, single panels last
  std::vector<std::vector<int>> joints_in_module;  ///< of each module of `chosen`
  std::vector<AssemblyStep> steps;  ///< one for each module; the first stands on the floor
  std::vector<Reach> reach;         ///< of every joint, when it is made
  std::string reason;               ///< why these modules, one or two sentences
};

/// Modules: the first of find_module_choices. Order: the lowest module first; the rest found by
/// taking the construction apart. What can leave now can leave later too, since there is ever less
/// in its way and fewer glued tabs, so taking any that is free misses no order that exists. Of the
/// highest few that can leave by a straight push from outside (swept plates against all that stand,
/// exact) and leave the rest in one piece, the one goes that leaves the rest with the fewest loose
/// movements, then the one whose joints all come within reach, then the highest. When none can
/// leave, tabs of the joints made at that step are taken as open, then the highest is named a
/// closing piece.
AssemblyPlan plan_assembly(const Design& design, const Finished& finished,
                           const AssemblyOptions& options = {});

}  // namespace sixtyfold
