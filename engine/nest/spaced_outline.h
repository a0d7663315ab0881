#pragma once
// The outline a part takes on the sheet: grown by half the gap, with few enough corners.

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct SpacingOptions {
  double gap_mm = 3;
  double tolerance_mm = 0.1;  ///< the outline may grow by this more to have fewer corners
  std::size_t corners = 80;   ///< so many are kept exactly; above twice as many a ragged outline
                              ///< grows by more than the tolerance
};

/// Two parts whose spaced outlines do not overlap are at least gap_mm apart, to a micrometre (the
/// outline is 0.4 micrometres short of half the gap, so that what fits exactly is not refused).
/// Convex corners are mitred up to twice the distance. Holes that growing closes are filled.
/// An outline so ragged that its no-fit region would take seconds becomes its convex hull.
/// Simple, counter-clockwise; empty when `outline` encloses no area.
Polygon make_spaced_outline(const Polygon& outline, const SpacingOptions& options);

}  // namespace sixtyfold
