#pragma once
// The options by which commands say how parts are cut: the same words everywhere.

#include "engine/stock/cutting.h"

namespace CLI {
class App;
}

namespace sixtyfold {

/// Adds --tool, --cutting-height, --throat and --feed. `cutting` must outlive the command.
void add_cutting_options(CLI::App& command, CuttingOptions& cutting);

}  // namespace sixtyfold
