#pragma once
// What two panels that lie in one plane have in common.

#include <optional>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct Overlap {
  double area_mm2 = 0;
  Vec2 place_mm = Vec2::Zero();  ///< in it, or at its border
};

/// Loops (outline and holes, in any order and sense) of two panels in the same coordinates, mm.
/// None where they share no more than a strip as wide as the contact band, a touch. By the Clipper
/// library on a grid of 10 nm; where outlines of hundreds of corners lie well over each other,
/// which may make a quarter of a million crossings, by 256 lines laid across them: then the area is
/// within some percent.
std::optional<Overlap> find_overlap(const std::vector<Polygon>& a, const std::vector<Polygon>& b);

}  // namespace sixtyfold
