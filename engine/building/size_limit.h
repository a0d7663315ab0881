#pragma once
// What decides how large a design is.

#include "engine/design.h"

namespace sixtyfold {

/// Whether it is the largest diameter that was asked for, and not the sheet.
inline bool is_as_large_as_allowed(const Design& design) {
  return design.score.diameter_mm > design.limits.max_diameter_mm - 0.5;
}

}  // namespace sixtyfold
