#pragma once
// In which order the parts are put together: modules first, then modules in order.

#include <string>
#include <vector>

#include "engine/building/assembly_order.h"
#include "engine/building/reach.h"

namespace sixtyfold {

struct AssemblyOptions {
  int most_in_module = 12;  ///< largest number of panels glued first as one piece
  ReachOptions reach;

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

struct AssemblyStep {
  std::vector<int> copies;  ///< the module brought in
  std::vector<int> joints;  ///< made at this step, with what is already there
  ComingIn coming_in = ComingIn::straight;
  Vec3 push = Vec3::Zero();  ///< unit; the module moves along -push to its place. Zero: hard step
  SpringIn spring;           ///< of a sprung step: what bends, and how far
  int internal_dof = 0;      ///< of everything placed, folds free: loose movements
};

/// One panel of a module on the table.
struct PanelStep {
  int copy = 0;
  std::vector<int> joints;  ///< made with the module's panels that lie there already
  ComingIn coming_in = ComingIn::straight;
  Vec3 push = Vec3::Zero();  ///< as of AssemblyStep
};

struct AssemblyPlan {
  ModuleChoice chosen;
  std::vector<ModuleChoice> considered;            ///< best first, single panels last
  std::vector<std::vector<int>> joints_in_module;  ///< of each module of `chosen`
  std::vector<AssemblyStep> steps;  ///< one for each module; the first stands on the floor
  /// Of each of `steps` its panels in the order in which they go together on the table
  /// (AssemblyOrder::in_module, turned to the module); empty where single panels are placed.
  std::vector<std::vector<PanelStep>> in_module;
  std::vector<Reach> reach;  ///< of every joint, when it is made
  std::string reason;        ///< why these modules, one or two sentences
  int hard_steps = 0, spring_steps = 0;
  double doubt_deg = 0;  ///< of "none exists", see Order
  bool folds = true;     ///< some joint has a tab or a folded edge; else all are slots
};

/// For people: how a step of the plan comes in, where from, and what has to be bent how far. Some
/// sentences; copies are counted from `first`, and called panels where that is 1.
std::string describe_way_in(const AssemblyPlan& plan, const AssemblyStep& step, int first);

/// Modules and hard steps: those of find_assembly_order. Of the highest few that can leave at a
/// step (see find_order) the one with the fewest joints goes, which by Maxwell's count (1864)
/// leaves the rest the least loose, then the one with the fewest joints out of reach, then the
/// highest.
AssemblyPlan plan_assembly(const Design& design, const Finished& finished,
                           const AssemblyOptions& options = {});
/// The same where find_assembly_order has been asked already, for modules as large.
AssemblyPlan plan_assembly(const Design& design, const Finished& finished, AssemblyOrder order,
                           const AssemblyOptions& options = {});

}  // namespace sixtyfold
