#pragma once
// How much light passes: the share of directions from the centre that no panel blocks.

#include <span>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// A panel as the centre sees it. Holes let light through.
struct Shade {
  const Frame& frame;
  const Polygon& outline_mm;
  std::span<const Polygon> holes_mm = {};
};

/// Share of `directions` rays from the centre that meet no copy, 0 (closed) to 1. The rays are the
/// points of a Fibonacci spiral (Gonzalez 2010), the same every time; where the copies are images
/// under a group every ray counts for its whole orbit. At 128 rays the answer is good to about
/// 0.03, at 4096 to about 0.005. A plane through the centre blocks nothing: it is seen edge on.
double measure_openness(std::span<const Mat3> copies, const Shade& panel, int directions = 128);

/// The images of one panel.
struct ShadeOrbit {
  std::span<const Mat3> copies;
  Shade panel;
};
/// The same for several panel types together.
double measure_openness(std::span<const ShadeOrbit> orbits, int directions = 128);

}  // namespace sixtyfold
