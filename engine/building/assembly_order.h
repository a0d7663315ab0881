#pragma once
// Whether and in which order a design goes together: what `check`, `find`, the gallery and the kit
// all tell.

#include <limits>
#include <memory>
#include <string>
#include <vector>

#include "engine/building/joint_sides.h"
#include "engine/building/modules.h"
#include "engine/building/order.h"

namespace sixtyfold {

struct AssemblyOrder {
  std::vector<ModuleChoice> considered;  ///< see find_module_choices: single panels last
  std::size_t chosen = 0;
  Order order;      ///< of the chosen modules (or single panels)
  Order in_module;  ///< of the panels of one module on the table; all modules are alike. Else empty
  int hard_steps = 0, spring_steps = 0;  ///< of the modules' order, and of each module's own
  double doubt_deg = 0;                  ///< see Order; 0: proved
  /// What was worked out for it, of the chosen modules, for who plans the building.
  std::shared_ptr<const StandingCopies> copies;
  std::shared_ptr<WaysOut> ways;

  const ModuleChoice& choice() const { return considered[chosen]; }
  void put_into(Score& score) const {
    score.hard_steps = hard_steps;
    score.spring_steps = spring_steps;
  }
};

struct AssemblyOrderOptions {
  int most_in_module = 12;  ///< largest number of panels glued first as one piece
  /// With more than these in every way to form modules the orders are left unfinished, and
  /// hard_steps is one more: enough to turn a design down.
  int most_hard_steps = std::numeric_limits<int>::max();
};

/// The first of the ways to form modules that has the fewest hard steps, of those the fewest sprung
/// ones. A module's own panels are put together singly first. Springing counts where
/// design.limits.working_strain is not 0. The design's joints must be those of its geometry, as
/// inspect finds them, and there must be something of its parts (Finished::leaves_nothing).
AssemblyOrder find_assembly_order(const Design& design, const Finished& finished,
                                  const AssemblyOrderOptions& options = {});

/// The task of find_order for these blocks of a design: its joints give neighbours and hints.
/// `design` and `copies` must outlive it.
OrderTask make_order_task(const Design& design, const StandingCopies& copies,
                          std::vector<std::vector<int>> blocks);

}  // namespace sixtyfold
