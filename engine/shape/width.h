#pragma once
// How thin a panel is at its thinnest tip or neck.

#include <limits>
#include <span>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Roll a disc of diameter w about inside the panel, starting where the panel is widest. The
/// panel is w wide when every point of it lies within w of a place the disc covers. The least
/// width is the largest w up to which this holds throughout. So
///  - a neck between two parts larger than itself counts with its own width,
///  - a strip counts with its width once it is longer than that,
///  - a corner is no tip from 38.95 degrees on (sin(a/2) >= 1/3); a sharper one has width 0 unless
///    it is rounded or cut off.
/// Holes count like the rim.
struct ThinPlace {
  double width_mm = 0;
  Vec2 point_mm = Vec2::Zero();  ///< centre of the narrowest disc there, or the tip
};

/// From the maximal inscribed discs at about a hundred points of the boundary, each exact (Ma, Bae
/// and Choi 2012 shrink a ball against points; against straight edges it has a closed form). Exact
/// where straight or round parts decide, else within about 3 %. Widths of `enough_mm` and more are
/// not told apart and reported as it: that saves most of the time for a panel that is wide enough.
/// The outline must be simple and counter-clockwise, holes simple and inside it.
ThinPlace find_thinnest_place(const Polygon& outline_mm, std::span<const Polygon> holes_mm = {},
                              double enough_mm = std::numeric_limits<double>::infinity());

inline double measure_min_width(const Polygon& outline_mm, std::span<const Polygon> holes_mm = {},
                                double enough_mm = std::numeric_limits<double>::infinity()) {
  return find_thinnest_place(outline_mm, holes_mm, enough_mm).width_mm;
}

}  // namespace sixtyfold
