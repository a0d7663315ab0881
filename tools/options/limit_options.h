#pragma once
// The options by which commands set limits: the same words and the same meaning everywhere.

#include <functional>
#include <string>
#include <vector>

#include "engine/limits.h"

namespace CLI {
class App;
}

namespace sixtyfold {

/// What was typed: each changes one limit. Applied to the defaults by `find`, to the limits of the
/// file by `check`.
struct LimitChanges {
  using Change = std::function<void(Limits&)>;
  std::vector<Change> material;  ///< before all others
  std::vector<Change> typed;     ///< in order
  std::string material_name;     ///< what --material named; empty without it
  std::vector<Change> price;     ///< the material's, then one that was typed
};

/// What holds where nothing is typed, for the help: the program's own numbers, or those of the
/// file.
enum class LimitDefaults { shipped, of_the_file };

/// Adds --sheet, --grain, --edge-margin, --gap, --turn-over, --price, --thickness, --board-mass,
/// --tab-depth, --min-width, --min-joint, --angles, --diameter, --panels, --joints,
/// --min-stiffness, --openness, --tool, --cutting-height, --throat, --feed, --allow-flexible and
/// --joints-by. `changes` must outlive the command.
void add_limit_options(CLI::App& command, LimitChanges& changes, LimitDefaults defaults);

/// The changed limits. Throws std::invalid_argument when they make no sense together.
Limits apply(const LimitChanges& changes, Limits limits);

}  // namespace sixtyfold
