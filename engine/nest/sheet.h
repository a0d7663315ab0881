#pragma once
// One size of sheet and the rules for laying parts on it.

#include <string>

#include "engine/limits.h"

namespace sixtyfold {

struct Sheet {
  double short_mm = 600, long_mm = 1200;
  Grain grain = Grain::none;
  double edge_margin_mm = 5;      ///< kept free along all four sides
  double gap_mm = 3;              ///< least distance between two parts
  bool both_faces_alike = false;  ///< a part may be turned over

  /// Sides left inside the margin. With grain the first lies along it; without, it is the long one.
  double along_mm() const { return (along_is_long() ? long_mm : short_mm) - 2 * edge_margin_mm; }
  double across_mm() const { return (along_is_long() ? short_mm : long_mm) - 2 * edge_margin_mm; }
  bool along_is_long() const { return grain != Grain::along_short_side; }
  double area_mm2() const { return short_mm * long_mm; }

  /// Empty when the sheet makes sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;

  bool operator==(const Sheet&) const = default;
};

/// The sheet of the limits; its sides are put in order.
Sheet make_sheet(const Limits& limits);

}  // namespace sixtyfold
