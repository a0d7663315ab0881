#pragma once
// The colour plan as pages.

#include <string>
#include <vector>

#include "engine/building/colourings.h"
#include "results/drawings/page.h"

namespace sixtyfold {

/// "blue", "amber" ... for panel_colours.
const char* find_colour_name(int colour);
/// The colour as "#rrggbb", and a light one of it to print under numbers.
const char* find_colour(int colour);
std::string find_tint(int colour);

/// The chosen scheme large, with the number of every panel of each colour; then the others, small.
std::vector<Page> make_colour_pages(const Design& design, const ColourScheme& chosen,
                                    const Vec2& paper_mm);

}  // namespace sixtyfold
