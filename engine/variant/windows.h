#pragma once
// Windows of a variant's panel: cut inside its outline where no joint needs the board.

#include "engine/shape/window.h"
#include "engine/variant/variant.h"

namespace sixtyfold {

/// What a joint needs of the panel, at true size: the length of the joint, and to both sides of it
/// the depth of a tab where a copy's tab may be glued, the setback of the panel's own edge, a
/// frame's width beside a slot. All images under the panel's own symmetries.
void find_kept_strips(const OrbitScheme& scheme, const Variant& variant, const Limits& limits,
                      double frame_mm, std::vector<KeptStrip>& strips);

/// The panel's mean width, as far as area and perimeter tell it: 2 area / perimeter, the width of a
/// long strip.
double measure_mean_width(const Polygon& outline_mm);

/// Windows with a frame of `frame` mean widths, but no narrower than find_least_frame says. The
/// variant must have come as far as its joints and scale.
std::vector<Polygon> cut_windows(const OrbitScheme& scheme, const Variant& variant,
                                 const Limits& limits, double frame, const Polygon& outline_mm);

}  // namespace sixtyfold
