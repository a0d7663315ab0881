#pragma once
// Symmetric colourings: the copies of one coset of a subgroup share a colour, so that every
// movement of the group carries colours onto colours.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// As many colours as a person tells apart on a construction.
inline constexpr int most_colours = 10;

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

/// Colour number of every copy, from 0, by left cosets of a subgroup that contains the panel's
/// stabiliser: five colours if there is such a subgroup of index 5, else 4, 6, 3, 7, 8, 2, 9, 10.
/// All 0 where no such subgroup exists or the copies are not those of the design's symmetry.
std::vector<int> find_coset_colours(const Design& design);

/// Colours numbered by their first copy: equal for equal partitions.
std::vector<int> renumber_colours(const std::vector<int>& colour_of);

}  // namespace sixtyfold
