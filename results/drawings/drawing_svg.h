#pragma once
// A vector drawing of a whole design in perspective, hidden surfaces removed exactly.

#include <optional>
#include <string>
#include <vector>

#include "engine/design.h"
#include "results/drawings/hidden_surface.h"

namespace sixtyfold {

/// What stands around the construction. sheet: title, numbers, a second view, a person or a scale
/// bar, on paper;
/// plain: the construction and its shadow alone, on a transparent ground.
enum class Setting { sheet, plain };

struct DrawingOptions {
  double width_mm = 200, height_mm = 200;
  Setting setting = Setting::sheet;
  std::string colours = "board";  ///< a word of choose_colours (engine/building/colourings.h)
  /// Where the eye stands; without them beside an axis, as results/drawings/viewpoint.h says.
  std::optional<double> azimuth_deg, elevation_deg;
  double distance = 4.2;  ///< of the eye from the centre, in enclosing radii; from 1.5
  std::string title;      ///< empty: the design's name

  /// Empty when the options make sense, else one sentence.
  std::string find_fault() const;
};

/// A complete SVG 1.1 document in millimetres, valid by the W3C document type, under 200 kB for
/// outlines of ordinary detail (they are simplified to a thirtieth of a millimetre on paper).
/// Same design and options, same bytes. Throws std::invalid_argument for options with a fault or a
/// design without a panel.
std::string make_drawing_svg(const Design& design, const DrawingOptions& options = {});

/// All copies as flat faces, in the order of the orbits. Outlines are first simplified to the
/// tolerance.
std::vector<FlatFace> make_faces(const Design& design, double tolerance_mm);

/// "60 panels", "90 joints", "1.50 m across", "8 sheets of 600 x 1200 x 4 mm" ...: what a builder
/// asks first, computed numbers only, most important first. Plain text, not escaped.
std::vector<std::string> find_facts(const Design& design);

}  // namespace sixtyfold
