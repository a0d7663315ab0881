#pragma once
// Symmetric colourings: the copies of one coset of a subgroup share a colour, so that every
// movement of the group carries colours onto colours.

#include <string>
#include <vector>

#include "engine/design.h"
#include "results/page.h"

namespace sixtyfold {

struct ColourScheme {
  std::string subgroup;  ///< Schoenflies symbol
  int colours = 1;
  std::vector<int> colour_of;  ///< of each copy, from 0
  int like_joints = 0;         ///< joints between two panels of one colour
};

/// All different ones of 2 to 10 colours: fewest colours first, then fewest like joints (neighbours
/// tell apart), then most. Empty when no subgroup gives one.
std::vector<ColourScheme> find_colour_schemes(const Design& design);

/// The one to build by: with so many colours, the one with the fewest like joints; 0 takes the
/// colouring of the design's drawings. Throws std::invalid_argument: the number, and which are
/// possible.
ColourScheme choose_colour_scheme(const Design& design, int colours);

/// "blue", "amber" ... for panel_colours.
const char* find_colour_name(int colour);
/// The colour as "#rrggbb", and a light one of it to print under numbers.
const char* find_colour(int colour);
std::string find_tint(int colour);

/// The chosen scheme large, with the number of every panel of each colour; then the others, small.
std::vector<Page> make_colour_pages(const Design& design, const ColourScheme& chosen,
                                    const Vec2& paper_mm);

}  // namespace sixtyfold
