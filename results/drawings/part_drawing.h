#pragma once
// The one flat part, drawn in its own plane with its dimensions.

#include <string>

#include "engine/design.h"

namespace sixtyfold {

/// What is written under the drawing.
struct PartCaption {
  std::string flat_pattern = "flat pattern; dashed: mid-surface outline";
  std::string outline = "outline";  ///< where the panel has no tabs
  std::string scale = "scale", area = "area";
};

struct PartDrawingOptions {
  double width_mm = 120, height_mm = 90;  ///< of the page
  std::string title;                      ///< empty: no title
  PartCaption caption = {};

  /// Empty when the options make sense, else one sentence.
  std::string find_fault() const;
};

/// A complete SVG 1.1 document in millimetres: the flat pattern (the outline where there is none)
/// with its long axis across the page, the fold lines dashed where tabs leave the outline,
/// cut-outs, and the length and width of the least rectangle around it. Not to scale; the scale is
/// written on it. Throws std::invalid_argument for options with a fault or a panel without an
/// outline.
std::string make_part_drawing_svg(const Panel& panel, const PartDrawingOptions& options = {});

}  // namespace sixtyfold
