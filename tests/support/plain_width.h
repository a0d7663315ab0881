#pragma once
// The slow reference of engine/shape/width.h: the same rolling disc with every point in one list.

#include "engine/shape/polygon.h"

namespace sixtyfold::plain {

/// Least width of a simple counter-clockwise outline without holes; widths of `enough_mm` (may be
/// infinite) and more are not told apart.
double measure_min_width(const Polygon& outline_mm, double enough_mm);

}  // namespace sixtyfold::plain
