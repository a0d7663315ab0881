#include "engine/stock/stock_layout.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

StockLayout make_stock_layout(const std::vector<PartToNest>& parts, const StockSettings& settings) {
  StockLayout layout;
  StockUse& use = layout.use;
  NestOptions nesting;
  nesting.sheet = settings.sheet;
  nesting.first_cut = settings.first_cut;
  nesting.effort = settings.effort;
  double area = 0;
  bool all_fit = true;
  for (const PartToNest& part : parts) {
    const Rectangle least = measure_least_rectangle(part.outline_mm);
    use.part_length_mm = std::max(use.part_length_mm, least.long_mm);
    use.part_width_mm = std::max(use.part_width_mm, least.short_mm);
    nesting.copies = part.copies;
    PartLayout one{make_nest(part.outline_mm, nesting),
                   plan_cutting(part.outline_mm, part.holes_mm, part.copies, settings.cutting)};
    all_fit = all_fit && one.nest.sheets > 0;
    use.sheets += one.nest.sheets;
    use.parts_per_sheet = layout.parts.empty()
                              ? one.nest.parts_per_sheet
                              : std::min(use.parts_per_sheet, one.nest.parts_per_sheet);
    double own = std::abs(measure_area(part.outline_mm));
    for (const Polygon& hole : part.holes_mm) own -= std::abs(measure_area(hole));
    area += part.copies * own;
    use.cutting_min += one.cutting.total_time_min;
    layout.parts.push_back(std::move(one));
  }
  if (!all_fit) {
    use = {use.part_length_mm, use.part_width_mm};
  } else if (use.sheets > 0) {
    use.utilisation = area / (use.sheets * settings.sheet.area_mm2());
    use.cost = use.sheets * settings.sheet_price;
  }
  return layout;
}

}  // namespace sixtyfold
