#pragma once
// The design file that a command was given: read, put under the limits typed, measured afresh.

#include <optional>
#include <string>

#include "engine/part/flat_pattern.h"
#include "engine/stock/material.h"
#include "engine/variant/inspection.h"
#include "tools/options/limit_options.h"

namespace sixtyfold {

/// What the commands that build on a design start from. Neither joints nor score nor flat pattern
/// are taken from the file.
/// Throws std::invalid_argument: no such file, no design, limits that make no sense.
Design read_given_design(const std::string& path, const LimitChanges& changes);
Inspection inspect_given_design(const std::string& path, const LimitChanges& changes);

/// The board of a design: what was typed, else the shipped material it was made for; none where
/// that is not known.
std::optional<Material> find_material(const Design& design, const std::optional<Material>& typed);

/// How kit and nest lay the parts out: make_flat_options with the fold of the board, and tabs on
/// the inside where that costs nothing (choose_tab_side), unless either is given.
FlatOptions make_board_flat(const Design& design, const std::optional<Material>& board,
                            std::optional<double> fold_allowance_mm = std::nullopt,
                            std::optional<TabSide> side = std::nullopt);

/// Whether faults of the geometry forbid to go on; if so the first is told on standard error, in
/// one line with the file's name.
bool is_refused(const Inspection& inspection, const std::string& path);

}  // namespace sixtyfold
