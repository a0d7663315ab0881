#include "engine/building/purchase.h"

#include <cmath>

#include "engine/stock/stock_layout.h"
#include "engine/text.h"

namespace sixtyfold {

int Purchase::count_parts() const {
  int sum = 0;
  for (const PartPurchase& part : parts) sum += part.parts + part.spares;
  return sum;
}

Purchase make_purchase(const Design& design, const Finished& finished,
                       const PurchaseOptions& options) {
  Purchase purchase;
  std::vector<PartToNest> parts;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const FlatPattern& pattern = finished.parts[o].pattern;
    PartPurchase part;
    part.parts = static_cast<int>(design.orbits[o].copies.size());
    part.spares = static_cast<int>(std::ceil(part.parts * options.spare_share - 1e-9));
    parts.push_back({pattern.outline_mm, pattern.holes_mm, part.parts + part.spares});
    purchase.parts.push_back(std::move(part));
  }
  StockSettings settings;
  settings.sheet = options.sheet;
  settings.cutting = options.cutting;
  settings.cutting.thickness_mm = design.thickness_mm;
  settings.sheet_price = options.price.value_or(0);
  StockLayout layout = make_stock_layout(parts, settings);
  for (std::size_t o = 0; o < parts.size(); ++o) {
    purchase.parts[o].nest = std::move(layout.parts[o].nest);
    purchase.parts[o].cutting = std::move(layout.parts[o].cutting);
  }
  purchase.sheets = layout.use.sheets;
  purchase.cutting_min = layout.use.cutting_min;
  purchase.board_kg =
      purchase.sheets * options.sheet.area_mm2() * 1e-6 * design.limits.mass_kg_per_m2;
  if (options.price && purchase.sheets > 0) purchase.cost = layout.use.cost;
  return purchase;
}

std::string describe_sheets(const Purchase& purchase, const PurchaseOptions& options) {
  return count_of(purchase.sheets, "sheet", "sheets") +
         format(" of %g \u00d7 %g \u00d7 %g mm", options.sheet.short_mm, options.sheet.long_mm,
                options.cutting.thickness_mm);
}

}  // namespace sixtyfold
