#pragma once
// A design made larger or smaller: the geometry scales, board thickness and tabs do not.

#include <vector>

#include "engine/design.h"
#include "engine/part/flat_pattern.h"

namespace sixtyfold {

/// All lengths of the geometry multiplied by factor > 0: planes, outlines, holes, joints, and the
/// diameter of the score. Thickness, limits and recipe stay; flat patterns are dropped.
Design make_scaled(Design design, double factor);

/// Of the sphere about the centre that encloses all panels' outlines.
double measure_diameter(const Design& design);

/// Thickness, tab depth and play of slots of a design.
FlatOptions make_flat_options(const Design& design);

/// Flat patterns of all parts of a design, tabs fitted, from its joints and limits; without options
/// those of make_flat_options.
std::vector<FlatPattern> make_flat_patterns(const Design& design);
std::vector<FlatPattern> make_flat_patterns(const Design& design, const FlatOptions& options);

}  // namespace sixtyfold
