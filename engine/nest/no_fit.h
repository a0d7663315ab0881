#pragma once
// The no-fit region of two parts: where one may not be put because of the other.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// The grid on which no-fit regions are exact: 0.1 micrometre.
inline constexpr double no_fit_units_per_mm = 1e4;

/// All translations t at which `moved` + t and `fixed` have inner points in common: the Minkowski
/// sum of `fixed` and -`moved`. Both simple and counter-clockwise, up to 10 m in size. Returns
/// outer boundaries counter-clockwise and holes clockwise; a hole is a place inside a cavity where
/// the part fits. Coordinates are rounded to the grid first, corners of the result once more.
///
/// The winding number of the two polygons' convolution about t counts the connected pieces of the
/// overlap (Guibas, Ramshaw and Stolfi 1983), so the region is where it is positive.
/// Places that fit only by touching all round (a jigsaw piece in its hole) are not kept.
std::vector<Polygon> make_no_fit(const Polygon& fixed, const Polygon& moved);

}  // namespace sixtyfold
