#include "results/cutting_plan.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "engine/stock/stock_layout.h"
#include "engine/text.h"
#include "results/kit_template.h"
#include "results/nest_drawing.h"
#include "results/page_flow.h"

namespace sixtyfold {

int Order::count_parts() const {
  int sum = 0;
  for (const PartOrder& part : parts) sum += part.parts + part.spares;
  return sum;
}

Order make_order(const Design& design, const Finished& finished, const OrderOptions& options) {
  Order order;
  std::vector<PartToNest> parts;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const FlatPattern& pattern = finished.parts[o].pattern;
    PartOrder part;
    part.parts = static_cast<int>(design.orbits[o].copies.size());
    part.spares = static_cast<int>(std::ceil(part.parts * options.spare_share - 1e-9));
    parts.push_back({pattern.outline_mm, pattern.holes_mm, part.parts + part.spares});
    order.parts.push_back(std::move(part));
  }
  StockSettings settings;
  settings.sheet = options.sheet;
  settings.cutting = options.cutting;
  settings.cutting.thickness_mm = design.thickness_mm;
  settings.sheet_price = options.price.value_or(0);
  StockLayout layout = make_stock_layout(parts, settings);
  for (std::size_t o = 0; o < parts.size(); ++o) {
    order.parts[o].nest = std::move(layout.parts[o].nest);
    order.parts[o].cutting = std::move(layout.parts[o].cutting);
  }
  order.sheets = layout.use.sheets;
  order.cutting_min = layout.use.cutting_min;
  order.board_kg = order.sheets * options.sheet.area_mm2() * 1e-6 * design.limits.mass_kg_per_m2;
  if (options.price && order.sheets > 0) order.cost = layout.use.cost;
  return order;
}

std::string describe_sheets(const Order& order, const OrderOptions& options) {
  return count_of(order.sheets, "sheet", "sheets") +
         format(" of %g \u00d7 %g \u00d7 %g mm", options.sheet.short_mm, options.sheet.long_mm,
                options.cutting.thickness_mm);
}

std::vector<Page> make_cutting_pages(const Design& design, const Finished& finished,
                                     const Order& order, const OrderOptions& options,
                                     const Vec2& paper_mm) {
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": cutting plan \u00b7 design " + make_design_hash(design));
  flow.title(
      "Cutting plan",
      design.name.empty()
          ? "what to order, how the parts lie, how they are stacked and cut"
          : design.name + ": what to order, how the parts lie, how they are stacked and cut");
  if (order.sheets == 0)
    flow.paragraph(format("The part does not fit a sheet of %g \u00d7 %g mm with this edge margin "
                          "and grain: choose larger sheets or a smaller design.",
                          options.sheet.short_mm, options.sheet.long_mm),
                   page_caution);
  int spares = 0;
  for (const PartOrder& part : order.parts) spares += part.spares;
  if (order.sheets > 0) {
    std::vector<std::pair<std::string, std::string>> facts = {
        {std::to_string(order.sheets), order.sheets == 1 ? "sheet to order" : "sheets to order"},
        {std::to_string(order.count_parts()),
         "parts, " + std::to_string(spares) + " of them spare"},
        {format("%.0f kg", order.board_kg), "of board"}};
    if (order.cost)
      facts.emplace_back(format("%.2f", *order.cost),
                         format("for the sheets at %.2f", *options.price));
    flow.facts(facts);
    flow.paragraph("Order " + describe_sheets(order, options) +
                   (options.material.empty() ? "" : ", " + options.material) + ".");
  }
  for (std::size_t o = 0; o < order.parts.size(); ++o) {
    const PartOrder& part = order.parts[o];
    if (order.parts.size() > 1)
      flow.heading("Part " + std::to_string(o + 1));
    else
      flow.heading("At the saw");
    const CuttingPlan& plan = part.cutting;
    if (plan.blanks_per_stack == 0) {
      flow.paragraph(
          format("The board, %g mm, is thicker than the cutting height of %g mm: cut it with "
                 "another tool.",
                 options.cutting.thickness_mm, options.cutting.cutting_height_mm));
    } else if (options.cutting.tool == CutTool::knife) {
      flow.paragraph(
          format("With a knife, one layer at a time: %.2f m of line a part, about %.0f minutes "
                 "each, %.1f hours for one person.",
                 plan.cut_length_mm / 1000, plan.time_per_stack_min, plan.total_time_min / 60));
    } else {
      flow.facts({{std::to_string(plan.stacks), "stacks"},
                  {std::to_string(plan.blanks_per_stack),
                   format("blanks in a stack, %.0f mm",
                          plan.blanks_per_stack * options.cutting.thickness_mm)},
                  {format("%.0f \u00d7 %.0f", plan.blank_mm.x(), plan.blank_mm.y()), "blank in mm"},
                  {format("%.2f m", plan.cut_length_mm / 1000), "of line a stack"},
                  {format("%.0f min", plan.time_per_stack_min), "a stack"},
                  {format("%.1f h", plan.total_time_min / 60), "at one saw"}});
      flow.remark(format(
          "A stack up to %.0f mm high: common practice, no published source. %.0f mm of line a "
          "minute, %.0f s at each of %d sharp turns, "
          "%.0f min to stack and clamp: from memory; time one stack and correct the figures.",
          options.cutting.cutting_height_mm, options.cutting.feed_mm_per_min,
          options.cutting.corner_s, plan.sharp_turns, options.cutting.stack_s / 60));
    }
    for (std::string warning : plan.warnings) {
      if (!warning.empty())
        warning[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(warning[0])));
      flow.point(warning + (warning.empty() || warning.back() == '.' ? "" : "."));
    }
    if (part.nest.parts_per_sheet > 0) {
      NestDrawing drawing;
      drawing.title = design.name;
      drawing.material = options.material;
      drawing.outline_mm = finished.parts[o].pattern.outline_mm;
      drawing.holes_mm = finished.parts[o].pattern.holes_mm;
      for (const Tab& tab : finished.parts[o].pattern.tabs)
        drawing.folds_mm.emplace_back(tab.fold_from_mm, tab.fold_to_mm);
      const std::string svg = make_nest_svg(part.nest, drawing);
      const Vec2 size = measure_svg(svg);
      const double scale = std::min(flow.width() / size.x(), 116 / size.y());
      const double top = flow.take(scale * size.y() + 2),
                   x = flow.left() + (flow.width() - scale * size.x()) / 2;
      flow.page().add_svg(svg, {{x, top}, {x + scale * size.x(), top + scale * size.y()}});
      if (scale < 0.999) flow.remark("Drawn smaller than its scale says, to fit this page.");
    }
  }
  flow.cautions(find_cutting_cautions(options.cutting.tool));
  return flow.finish();
}

}  // namespace sixtyfold
