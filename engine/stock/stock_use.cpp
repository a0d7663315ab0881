#include "engine/stock/stock_use.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/nest/sheet_fit.h"
#include "engine/part/scaled_pattern.h"
#include "engine/stock/cutting.h"
#include "engine/stock/stock_layout.h"

namespace sixtyfold {

void StockUse::put_into(Score& score) const {
  score.panel_length_mm = part_length_mm;
  score.panel_width_mm = part_width_mm;
  score.parts_per_sheet = parts_per_sheet;
  score.parts_room = parts_room;
  score.sheets = sheets;
  score.utilisation = utilisation;
  score.cost = cost;
  score.cutting_min = cutting_min;
}

namespace {

/// Parts no nest can have more of on a sheet, from the area of one: see bound_stock_use.
int bound_parts(double area_mm2, const Sheet& sheet) {
  constexpr double slack = 1e-9, most = 1e6;
  const double along = sheet.along_mm(), across = sheet.across_mm(), gap = sheet.gap_mm;
  const double grown = std::sqrt(std::abs(area_mm2)) + gap / 2 * std::sqrt(pi);
  if (!(along > 0 && across > 0 && grown > 0)) return 0;
  return static_cast<int>(
      std::min(most, (along + gap) * (across + gap) / (grown * grown) * (1 + slack)));
}

}  // namespace

StockUse estimate_stock_use(const PartSketch& part, const Limits& limits) {
  StockUse use;
  Polygon points;
  for (const Segment& segment : part.border_mm) points.push_back(segment.from);
  const Polygon hull = make_convex_hull(points);
  if (hull.size() < 3 || part.outline_mm.size() < 3) return use;
  const Sheet sheet = make_sheet(limits);
  const SheetFit fit = measure_sheet_fit(hull, sheet);
  use.part_length_mm = fit.length_mm;
  use.part_width_mm = fit.width_mm;
  if (!fit.fits) return use;
  const Vec2 directions[] = {{std::cos(fit.long_axis_rad), std::sin(fit.long_axis_rad)},
                             {std::cos(fit.roomiest_rad), std::sin(fit.roomiest_rad)}};
  const std::size_t looked = fit.roomiest_rad == fit.long_axis_rad ? 1 : 2;
  const Polygon outline(part.outline_mm.begin(), part.outline_mm.end());
  const Interlocked interlocked =
      find_interlocked(part.border_mm, {directions, looked}, sheet, fit.parts_per_sheet,
                       bound_parts(measure_area(outline), sheet));
  use.parts_per_sheet = interlocked.parts;
  use.parts_room = interlocked.room;
  use.sheets = measure_sheets(part.copies, use.parts_per_sheet);
  double area = measure_area(outline) + part.tab_area_mm2;
  for (const Polygon& window : part.windows_mm) area -= measure_area(window);
  use.utilisation = part.copies * area / (use.sheets * sheet.area_mm2());
  use.cost = use.sheets * limits.sheet_price;
  const CuttingOptions cutting = make_cutting_options(limits, limits.thickness_mm);
  const int blanks = count_blanks_per_stack(cutting);
  if (blanks > 0) {
    double length = measure_perimeter(outline) + part.tab_edge_mm;
    int turns = count_sharp_turns(outline, cutting);
    for (const Polygon& window : part.windows_mm) {
      length += measure_perimeter(window);
      turns += count_sharp_turns(window, cutting);
    }
    use.cutting_min =
        ((part.copies - 1) / blanks + 1) *
        measure_stack_min(length, turns, cutting, static_cast<int>(part.windows_mm.size()));
  }
  return use;
}

StockUse bound_stock_use(const PartSketch& part, const Limits& limits) {
  StockUse use;
  const Polygon outline(part.outline_mm.begin(), part.outline_mm.end());
  if (outline.size() < 3) return use;
  const Sheet sheet = make_sheet(limits);
  use.parts_per_sheet = bound_parts(measure_area(outline), sheet);
  use.sheets = measure_sheets(part.copies, use.parts_per_sheet);
  if (use.sheets == 0) return {};
  use.utilisation = sheet.along_mm() * sheet.across_mm() / sheet.area_mm2();
  use.cost = use.sheets * limits.sheet_price;
  const CuttingOptions cutting = make_cutting_options(limits, limits.thickness_mm);
  if (const int blanks = count_blanks_per_stack(cutting); blanks > 0)
    use.cutting_min = ((part.copies - 1) / blanks + 1) *
                      measure_stack_min(measure_perimeter(outline), 0, cutting);
  return use;
}

StockUse measure_stock_use(const Design& design, int effort) {
  const bool has_patterns =
      std::all_of(design.orbits.begin(), design.orbits.end(),
                  [](const Orbit& orbit) { return orbit.panel.flat_pattern_mm.size() >= 3; });
  std::vector<FlatPattern> patterns;
  if (!has_patterns) patterns = make_flat_patterns(design);
  std::vector<PartToNest> parts;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const Panel& panel = design.orbits[o].panel;
    const Polygon& made =
        has_patterns ? panel.flat_pattern_mm : std::as_const(patterns)[o].outline_mm;
    parts.push_back({made, panel.holes_mm, static_cast<int>(design.orbits[o].copies.size())});
  }
  StockSettings settings;
  settings.sheet = make_sheet(design.limits);
  settings.effort = effort;
  settings.cutting = make_cutting_options(design.limits, design.thickness_mm);
  settings.sheet_price = design.limits.sheet_price;
  return make_stock_layout(parts, settings).use;
}

}  // namespace sixtyfold
