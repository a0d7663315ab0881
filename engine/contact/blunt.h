#pragma once
// Sharp tips are cut off square, where the panel is as wide as it has to be.

#include "engine/contact/span.h"

namespace sixtyfold {

/// Corners sharper than this are tips: a disc of the least width then reaches less than its own
/// diameter short of the corner (sin(a / 2) = 1 / 3, see engine/shape/width.h), with a margin.
inline constexpr double sharp_corner_rad = 0.70;

/// Cuts every sharp corner off along the first chord as long as `width`, between the two points
/// equally far along the boundary on both sides of the tip. Only removes material. A tip longer
/// than four widths is left as it is (it is a needle: let the least width turn it down). Returns
/// the number of tips cut.
int blunt_tips(LabelledOutline& outline, double width, LabelledOutline& scratch);

}  // namespace sixtyfold
