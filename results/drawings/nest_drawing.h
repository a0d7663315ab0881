#pragma once
// The drawing a builder cuts by: sheets with the parts nested on them, to scale.

#include <string>
#include <utility>
#include <vector>

#include "engine/nest/nest.h"

namespace sixtyfold {

struct NestDrawing {
  std::string title;                ///< of the design; plain text
  std::string material;             ///< title and thickness, plain text
  std::vector<std::string> faults;  ///< why it is not within its limits, plain text
  Polygon outline_mm;               ///< the flat pattern that was nested
  std::vector<Polygon> holes_mm;
  std::vector<std::pair<Vec2, Vec2>> folds_mm;  ///< of the tabs
  Polygon blank_mm;                             ///< drawn dashed round every part; may be empty
};

/// A complete SVG document in millimetres at a round scale (1:1, 1:2, 1:5, 1:10 ...): a full sheet,
/// and the last one when it holds fewer parts. Parts are numbered in the order in which they fill
/// the sheet; a dot marks the same corner of every part, so that turned ones are told apart.
std::string make_nest_svg(const Nest& nest, const NestDrawing& drawing);

}  // namespace sixtyfold
