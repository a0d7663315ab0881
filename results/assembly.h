#pragma once
// In which order the parts are put together: modules first, then modules in order.

#include <string>
#include <vector>

#include "engine/contact/slab.h"

namespace sixtyfold {

struct AssemblyOptions {
  int most_in_module = 12;         ///< largest number of panels glued first as one piece
  double clamp_depth_mm = 60;      ///< how far from an edge a clamp reaches
};

/// One way to form modules: the cosets of a subgroup.
struct ModuleChoice {
  int panels = 1;                  ///< in one module
  int joints = 0;                  ///< inside one module
  int internal_dof = 0;            ///< of one module on its own, folds free
  double stiffness = 0;            ///< see engine/structure/stiffness.h
  std::vector<std::vector<int>> modules;  ///< copies of each
};

/// How a module comes in.
enum class ComingIn {
  straight,        ///< a straight push with its tabs folded
  tabs_open,       ///< a straight push while tabs are held open
  no_straight_push ///< something must be sprung aside: a closing piece
};

struct AssemblyStep {
  std::vector<int> copies;         ///< the module brought in
  std::vector<int> joints;         ///< made at this step, with what is already there
  ComingIn coming_in = ComingIn::straight;
  Vec3 push = Vec3::Zero();        ///< unit; the module moves along -push to its place
  int internal_dof = 0;            ///< of everything placed, folds free
};

struct AssemblyPlan {
  ModuleChoice chosen;
  std::vector<ModuleChoice> considered;  ///< best first, the chosen one included
  std::vector<std::vector<int>> joints_in_module;  ///< of each module
  std::vector<AssemblyStep> steps;       ///< one for each module; the first stands on the floor
  std::vector<int> beyond_clamp;         ///< joints whose glue area no clamp of that depth reaches
  std::string reason;                    ///< why these modules, one or two sentences
};

/// Modules: the subgroup whose coset hangs together, has the fewest internal freedoms, then the most
/// joints a panel, then the greatest stiffness, within most_in_module panels; single panels when the
/// copies are not those of the design's group. Order: the lowest module first; the
/// rest found by taking the construction apart from the top, always a module that can leave by a straight
/// push (swept plates against all that stand, exact) and leaves the rest in one piece. When none can,
/// first the tabs are taken as open, then the highest is named a closing piece.
AssemblyPlan plan_assembly(const Design& design, const Finished& finished, const AssemblyOptions& options = {});

}  // namespace sixtyfold
