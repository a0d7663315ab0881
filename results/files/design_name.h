#pragma once
// Names that people can say, made from a design's shape.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

/// Two or three syllables such as "Veloma". The same shape gives the same name everywhere: it
/// depends on symmetry, outline and placing to a thousandth of the panel's size, not on scale,
/// score or what the design was called before. Words that a class should not vote on are passed
/// over.
std::string make_design_name(const Design& design);

/// The name of each design: its own where it has one, else make_design_name; a generated name
/// that is taken already gets another syllable, any other a number. No name comes twice.
std::vector<std::string> find_design_names(const std::vector<Design>& designs);

}  // namespace sixtyfold
