#include "engine/building/purchase.h"

#include <cmath>
#include <utility>

#include "engine/stock/stock_layout.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

/// Rectangles round the part where as many of them lie on a sheet as of the parts themselves.
void find_straight_blanks(const Polygon& outline, const Sheet& sheet, PartPurchase& part) {
  if (part.nest.parts_per_sheet == 0) return;
  const Rectangle least = measure_least_rectangle(outline);
  const Box box = measure_box_along(outline, least.direction_rad);
  const Eigen::Rotation2Dd turn(least.direction_rad);
  for (const double border : {10.0, 5.0, 2.0}) {
    const Vec2 low = box.low - Vec2::Constant(border), high = box.high + Vec2::Constant(border);
    Polygon blank;
    for (const Vec2& corner : {low, Vec2{high.x(), low.y()}, high, Vec2{low.x(), high.y()}})
      blank.push_back(turn * corner);
    NestOptions nesting;
    nesting.sheet = sheet;
    nesting.sheet.both_faces_alike = false;
    nesting.sheet.gap_mm = 0;  // one cut parts two blanks
    nesting.copies = part.nest.copies;
    Nest nest = make_nest(blank, nesting);
    if (nest.parts_per_sheet < part.nest.parts_per_sheet) continue;
    const double share = measure_area(outline) / measure_area(blank);
    nest.utilisation *= share, nest.full_utilisation *= share;
    nest.sheet.gap_mm = 0;
    part.nest = std::move(nest);
    part.has_straight_blanks = true;
    part.blank_mm = blank;
    part.cutting.blank_mm = (high - low).cwiseAbs();
    if (part.cutting.blank_mm.x() < part.cutting.blank_mm.y())
      std::swap(part.cutting.blank_mm.x(), part.cutting.blank_mm.y());
    return;
  }
}

}  // namespace

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
  // A template traced on the other face puts every mark on the wrong one.
  settings.sheet.both_faces_alike = false;
  StockLayout layout = make_stock_layout(parts, settings);
  if (options.sheet.both_faces_alike) {
    settings.sheet.both_faces_alike = true;
    StockLayout turned = make_stock_layout(parts, settings);
    if (layout.use.sheets == 0 || (turned.use.sheets > 0 && turned.use.sheets < layout.use.sheets))
      layout = std::move(turned);
  }
  for (std::size_t o = 0; o < parts.size(); ++o) {
    purchase.parts[o].nest = std::move(layout.parts[o].nest);
    purchase.parts[o].cutting = std::move(layout.parts[o].cutting);
    find_straight_blanks(parts[o].outline_mm, options.sheet, purchase.parts[o]);
  }
  if (layout.use.sheets > 0)
    for (const PartPurchase& part : purchase.parts) purchase.sheets += part.nest.sheets;
  purchase.cutting_min = layout.use.cutting_min;
  purchase.board_kg =
      purchase.sheets * options.sheet.area_mm2() * 1e-6 * design.limits.mass_kg_per_m2;
  if (options.price && purchase.sheets > 0) purchase.cost = purchase.sheets * *options.price;
  return purchase;
}

std::string describe_sheets(const Purchase& purchase, const PurchaseOptions& options) {
  return count_of(purchase.sheets, "sheet", "sheets") +
         format(" of %g \u00d7 %g \u00d7 %g mm", options.sheet.short_mm, options.sheet.long_mm,
                options.cutting.thickness_mm);
}

}  // namespace sixtyfold
