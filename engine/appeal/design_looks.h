#pragma once
// What the eye goes by of a finished design, measured from its panels and copies alone.

#include "engine/design.h"

namespace sixtyfold {

/// Sets panels, layers, slenderness (the mean over the board), evenness, see_through, legibility
/// and the appeal under the shipped taste. The design must have a panel of some extent.
void measure_looks(const Design& design, Score& score);

}  // namespace sixtyfold
