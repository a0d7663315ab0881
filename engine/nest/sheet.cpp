#include "engine/nest/sheet.h"

#include <algorithm>

#include "engine/allowed.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

constexpr double largest_sheet_mm = 20000;

std::string number(double value) { return format("%g", value); }

}  // namespace

std::string Sheet::find_fault() const {
  if (!(1 <= short_mm && short_mm <= long_mm && long_mm <= largest_sheet_mm))
    return "the sheet is " + number(short_mm) + " x " + number(long_mm) +
           " mm; both sides must lie between 1 and 20000 mm, the short one first";
  if (!(0 <= edge_margin_mm && 2 * edge_margin_mm < short_mm))
    return "the edge margin is " + number(edge_margin_mm) +
           " mm; it must be at least 0 and less than half the sheet's short side";
  return allowed::gap.find_fault(gap_mm);
}

Sheet make_sheet(const Limits& limits) {
  Sheet sheet;
  sheet.short_mm = std::min(limits.sheet_width_mm, limits.sheet_height_mm);
  sheet.long_mm = std::max(limits.sheet_width_mm, limits.sheet_height_mm);
  sheet.grain = limits.grain;
  sheet.edge_margin_mm = limits.edge_margin_mm;
  sheet.gap_mm = limits.gap_mm;
  sheet.both_faces_alike = limits.both_faces_alike;
  return sheet;
}

}  // namespace sixtyfold
