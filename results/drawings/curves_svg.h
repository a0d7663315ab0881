#pragma once
// How a run went: quality, coverage and hypervolume over the variants scored, as a vector drawing.

#include <string>

#include "search/keep/pool.h"

namespace sixtyfold {

/// A complete SVG document, 180 mm wide, one panel a curve with its own axis. A run with fewer than
/// two rows says so instead.
std::string make_curves_svg(const Pool& pool, const Goals& goals);

}  // namespace sixtyfold
