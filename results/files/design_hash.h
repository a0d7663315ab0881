#pragma once
// A short name by which people tell that two papers are of the same design.

#include <string>

#include "engine/design.h"

namespace sixtyfold {

/// Eight hexadecimal digits that tell two designs apart, whatever board they are made of (FNV-1a of
/// the panels and copies as the design file writes them).
std::string make_design_hash(const Design& design);

}  // namespace sixtyfold
