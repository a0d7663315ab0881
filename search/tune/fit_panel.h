#pragma once
// A panel that was measured or typed, and so misses its neighbours by little, made to fit.

#include <optional>

#include "engine/design.h"

namespace sixtyfold {

struct FittedPanel {
  Design design;        ///< without joints or score
  double moved_mm = 0;  ///< farthest an edge was moved
  double cut = 0;       ///< share of the panel's area cut off where copies still passed through
};

/// Edges that lie within `error_mm` of where the planes of two copies meet are moved there, and
/// what copies still take of each other is cut off. Nothing when that leaves nothing of its middle.
/// Throws std::invalid_argument as make_tune_job does.
std::optional<FittedPanel> fit_panel(const Design& design, double error_mm);

}  // namespace sixtyfold
