#pragma once
// The options by which commands set limits: the same words and the same meaning everywhere.

#include <functional>
#include <vector>

#include "engine/limits.h"

namespace CLI {
class App;
}

namespace sixtyfold {

/// What was typed, in order: each changes one limit. Applied to the defaults by `find`, to the
/// limits of the file by `check`.
using LimitChanges = std::vector<std::function<void(Limits&)>>;

/// Adds --sheet, --grain, --edge-margin, --gap, --thickness, --board-mass, --tab-depth,
/// --min-width, --min-joint, --angles, --diameter, --panels, --joints, --min-stiffness,
/// --openness, --allow-flexible and --joints-by. `changes` must outlive the command.
void add_limit_options(CLI::App& command, LimitChanges& changes);

/// The changed limits. Throws std::invalid_argument when they make no sense together.
Limits apply(const LimitChanges& changes, Limits limits);

}  // namespace sixtyfold
