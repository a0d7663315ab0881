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
  std::string name;      ///< "6-D5": colours and subgroup; a third part tells several apart
  std::string subgroup;  ///< Schoenflies symbol
  int colours = 1;
  std::vector<int> colour_of;  ///< of each copy, from 0
  int like_joints = 0;         ///< joints between two panels of one colour
};

/// All different ones of 2 to 10 colours: fewest colours first, then fewest like joints (neighbours
/// tell apart), then most. Empty when no subgroup gives one.
std::vector<ColourScheme> find_colour_schemes(const Design& design);

/// By a word: "board" (one colour); "modules", the one with the most joints between panels of one
/// colour, so that what is joined first is of one colour; "planes", a colour for each family of
/// parallel panels; "neighbours", the one with the fewest like joints; a number of colours, "6": of
/// these the one with the fewest like joints; or the name of a scheme, "6-D5". Where a design has
/// no such modules, families or neighbours it is one colour. Throws std::invalid_argument, the rest
/// of a sentence, for other words and for numbers and names that the design does not have.
ColourScheme choose_colours(const Design& design, const std::string& word);

/// Throws std::invalid_argument, as above, for what can be no word of any design.
void check_colours_word(const std::string& word);

/// Colours numbered by their first copy: equal for equal partitions.
std::vector<int> renumber_colours(const std::vector<int>& colour_of);

}  // namespace sixtyfold
