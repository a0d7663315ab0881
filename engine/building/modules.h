#pragma once
// Modules: copies of one coset of a subgroup, glued first and handled as one piece.

#include <string>
#include <vector>

#include "engine/design.h"
#include "engine/structure/stiffness.h"

namespace sixtyfold {

/// One way to form modules: the cosets of a subgroup.
struct ModuleChoice {
  std::string subgroup = "C1";            ///< Schoenflies symbol
  int panels = 1;                         ///< in one module
  int joints = 0;                         ///< inside one module
  int internal_dof = 0;                   ///< of one module on its own, folds free
  double stiffness = 0;                   ///< see engine/structure/stiffness.h
  std::vector<std::vector<int>> modules;  ///< copies of each
};

/// All ways whose modules hang together, of 2 to `most_panels` panels, best first: the fewest loose
/// movements, then the most joints a panel (the most closed), then the stiffest. At the end the
/// single panels, always.
std::vector<ModuleChoice> find_module_choices(const Design& design, int most_panels);

/// "3 panels round a threefold axis", "2 panels, mirror images": for people.
std::string describe(const ModuleChoice& choice);

/// The copies in the order in which they are glued: each next touches as many of those before as
/// can be.
std::vector<int> order_panels(const Design& design, const std::vector<int>& copies);

/// The structure of some copies alone, with the joints between them, numbered in their order.
Structure make_part_structure(const Structure& whole, const std::vector<int>& copies);

/// Each module one rigid body, with the joints between modules that both are among the given ones.
Structure make_module_structure(const Structure& whole,
                                const std::vector<std::vector<int>>& modules);

}  // namespace sixtyfold
