#pragma once
// A person's own part, read from an SVG file of any vector editor.

#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

struct SvgReadOptions {
  double tolerance_mm = 0.1;       ///< curves become chords within this distance, in (0, 10]
  std::size_t most_points = 1000;  ///< of the outline and all holes together
};

/// The part as drawn, seen from the front: y runs upwards here and downwards in the file. The
/// centroid of the outline is the origin.
struct TracedPart {
  Polygon outline_mm;              ///< counter-clockwise
  std::vector<Polygon> holes_mm;   ///< each counter-clockwise
  std::vector<std::string> notes;  ///< what was left out or assumed, one sentence each
};

/// Reads path, polygon, polyline, rect, circle and ellipse elements with their transforms, groups,
/// and the file's units: width, height and viewBox as SVG 1.1 section 7 has them; a bare number or
/// px is 1/96 inch (CSS Values 3). The largest loop is the outline, those inside it are holes.
/// Nothing outside the file is looked at; definitions, clip paths and what is not displayed is left
/// out. Throws std::invalid_argument, one sentence with the reason: not well-formed, entities,
/// nested too deep, a number that is none, nothing drawn, an outline that crosses itself, several
/// separate parts, holes that touch.
TracedPart read_outline_svg(const std::string& bytes, const SvgReadOptions& options = {});

}  // namespace sixtyfold
