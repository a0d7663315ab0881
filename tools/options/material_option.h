#pragma once
// --material: what the board is, by a shipped name or a file.

#include <functional>

#include "engine/stock/material.h"
#include "tools/options/limit_options.h"

namespace CLI {
class App;
}

namespace sixtyfold {

/// Adds --material NAME|FILE. It sets thickness, mass, grain, faces and the first sheet size of the
/// material before all other changes, wherever it stands on the command line, so --sheet, --grain
/// and the like overrule it. `take`, if given, is told the material.
void add_material_option(CLI::App& command, LimitChanges& changes,
                         std::function<void(const Material&)> take = {});

}  // namespace sixtyfold
