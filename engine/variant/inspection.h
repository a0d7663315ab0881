#pragma once
// Everything about a design, found afresh from its panels and copies alone: neither the stored
// joints nor the stored score nor the recipe are looked at. What `sixtyfold check` trusts.

#include <string>
#include <vector>

#include "engine/contact/rebuild.h"
#include "engine/design.h"

namespace sixtyfold {

struct Inspection {
  Design design;                    ///< as given, with the joints and the score found afresh
  Rebuilt rebuilt;                  ///< joints, touches and collisions between all pairs of copies
  Vec2 thinnest_mm = Vec2::Zero();  ///< where the panel is thinnest, in its own plane
  /// Why it can not be built under design.limits, one sentence each; empty: it can be built.
  std::vector<std::string> faults;
  /// Those of them that no board, sheet or limit mends: collisions, finished boards that overlap,
  /// several pieces or no joint, copies that are not the symmetry's, a part its slots cut apart.
  std::vector<std::string> geometry_faults;

  bool buildable() const { return faults.empty(); }
};

/// The others of its faults: against limits that may be changed.
std::vector<std::string> find_limit_faults(const Inspection& inspection);

/// What stands against joining by slots alone: a sentence without its stop, empty when nothing
/// does.
std::string find_fold_fault(const std::vector<Joint>& joints, const Limits& limits);

/// The design must be a sound one, as results/files/design_json.h reads it. Time grows with the
/// square of the number of copies for the contacts, with the cube for the stiffness: well under a
/// second for 60, some seconds for 240. `nest_effort` (1 to 3): of the nest behind sheets, waste,
/// cost and time.
Inspection inspect(const Design& design, int nest_effort = 2);

}  // namespace sixtyfold
