#pragma once
// Outlines made mirror-symmetric, as a kaleidoscope does.

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// What an outline about the origin shows in a wedge between two mirrors, and all its images: of
/// the boundary the first stretch that runs through the wedge of pi / fold beside the direction
/// `mirror_rad` from one side to the other, reflected to and fro. Promises for an outline that is
/// simple, counter-clockwise and holds the origin: so is the result, and it is mirror-symmetric
/// about fold lines through the origin, the first along `mirror_rad`.
void mirror_outline(Polygon& outline, int fold, double mirror_rad);

}  // namespace sixtyfold
