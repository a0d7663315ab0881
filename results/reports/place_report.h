#pragma once
// What `tune --outline` tells of the place it found for a person's own part.

#include <string>

#include "search/tune/find_place.h"

namespace sixtyfold {

/// Plain text for the terminal; the first line says whether the check is passed.
std::string make_place_report(const OwnPart& part, const FoundPlace& place);

/// The place as options of `tune` that give it again.
std::string write_placing_options(const PartPlacing& placing);

/// A page, 297 x 210 mm: the construction, the drawing with what is cut off it and where it is
/// glued, and the place in numbers.
std::string make_place_svg(const OwnPart& part, const FoundPlace& place);

}  // namespace sixtyfold
