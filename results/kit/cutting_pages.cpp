#include "results/kit/cutting_pages.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "engine/text.h"
#include "results/drawings/nest_drawing.h"
#include "results/drawings/page_flow.h"
#include "results/files/design_hash.h"
#include "results/kit/kit_template.h"

namespace sixtyfold {

namespace {

/// What to buy, in numbers and in a sentence.
void tell_order(PageFlow& flow, const Purchase& purchase, const PurchaseOptions& options) {
  int spares = 0;
  for (const PartPurchase& part : purchase.parts) spares += part.spares;
  std::vector<std::pair<std::string, std::string>> facts = {
      {std::to_string(purchase.sheets),
       purchase.sheets == 1 ? "sheet to order" : "sheets to order"},
      {std::to_string(purchase.count_parts()),
       "parts, " + std::to_string(spares) + " of them spare"},
      {format("%.0f kg", purchase.board_kg), "of board"}};
  if (purchase.cost)
    facts.emplace_back(format("%.2f", *purchase.cost),
                       format("for the sheets at %.2f", *options.price));
  flow.facts(facts);
  flow.paragraph("Order " + describe_sheets(purchase, options) +
                 (options.material.empty() ? "" : ", " + options.material) + ".");
}

/// How a part is cut: stacks and times, or why not.
void tell_cutting(PageFlow& flow, const PartPurchase& part, const CuttingOptions& cutting) {
  const CuttingPlan& plan = part.cutting;
  if (plan.blanks_per_stack == 0) {
    flow.paragraph(
        format("The board, %g mm, is thicker than the cutting height of %g mm: cut it with "
               "another tool.",
               cutting.thickness_mm, cutting.cutting_height_mm));
  } else if (cutting.tool == CutTool::knife) {
    flow.paragraph(
        format("With a knife, one layer at a time: %.2f m of line a part, about %.0f minutes "
               "each, %.1f hours for one person.",
               plan.cut_length_mm / 1000, plan.time_per_stack_min, plan.total_time_min / 60));
  } else {
    flow.facts(
        {{std::to_string(plan.stacks), "stacks"},
         {std::to_string(plan.blanks_per_stack),
          format("blanks in a stack, %.0f mm", plan.blanks_per_stack * cutting.thickness_mm)},
         part.has_straight_blanks
             ? std::pair<std::string, std::string>{format("%.0f \u00d7 %.0f", plan.blank_mm.x(),
                                                          plan.blank_mm.y()),
                                                   "blank in mm"}
             : std::pair<std::string, std::string>{part.nest.parts_per_sheet == 1 ? "whole sheets"
                                                                                  : "as nested",
                                                   part.nest.parts_per_sheet == 1
                                                       ? "are the blanks"
                                                       : "blanks, cut apart"},
         {format("%.2f m", plan.cut_length_mm / 1000), "of line a stack"},
         {format("%.0f min", plan.time_per_stack_min), "a stack"},
         {format("%.1f h", plan.total_time_min / 60), "at one saw"}});
    flow.remark(format(
        "A stack up to %.0f mm high: common practice, no published source. %.0f mm of line a "
        "minute, %.0f s at each of %d sharp turns, "
        "%.0f min to stack and clamp: from memory; time one stack and correct the figures.",
        cutting.cutting_height_mm, cutting.feed_mm_per_min, cutting.corner_s, plan.sharp_turns,
        cutting.stack_s / 60));
  }
}

/// How the parts come from the sheet onto the stacks.
void tell_marking(PageFlow& flow, const PartPurchase& part) {
  const bool some_over =
      std::any_of(part.nest.placements.begin(), part.nest.placements.end(),
                  [](const Placement& placement) { return placement.turned_over; });
  flow.point(
      part.has_straight_blanks
          ? "Cut the sheets into blanks along the dashed lines of the drawing, stack them, trace "
            "the template on the top one, prick its marks through the whole stack."
      : part.nest.parts_per_sheet == 1
          ? "One part fills a sheet. Stack the sheets, trace the template on the top one where "
            "the drawing has it, prick its marks through the whole stack."
          : "The parts interlock, so no straight cuts part them. Trace the template at every "
            "place of the drawing and prick its marks through, then cut the parts apart with a "
            "knife half-way between their lines. Stack the pieces mark on mark: pins through "
            "three of the pricked points hold them.");
  flow.point(some_over ? "Blue parts lie face up, as on the template; yellow ones face down: turn "
                         "the template over for them, and mark their faces after cutting."
                       : "All parts lie face up, as on the template: the outside face is on top.");
  if (part.spares > 0)
    flow.point(count_of(part.parts, "part is", "parts are") + " needed, " +
               count_of(part.spares, "is", "are") +
               " spare: cut the spares last, from the last sheet, and keep them flat.");
}

void tell_warnings(PageFlow& flow, const CuttingPlan& plan) {
  if (plan.trim_blanks)
    flow.point(
        "Trim the corners of a blank to 3 mm round the part before the saw, or its arm is "
        "in the way.");
  for (std::string warning : plan.warnings) {
    if (!warning.empty())
      warning[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(warning[0])));
    flow.point(warning + (warning.empty() || warning.back() == '.' ? "" : "."));
  }
}

/// The parts on a sheet, as large as a page allows: parts are traced by it.
void draw_nest(PageFlow& flow, const Nest& nest, const NestDrawing& drawing,
               double page_height_mm) {
  const std::string svg = make_nest_svg(nest, drawing);
  const Vec2 size = measure_svg(svg);
  const double scale = std::min(flow.width() / size.x(), (page_height_mm - 62) / size.y());
  const double top = flow.take(scale * size.y() + 2),
               x = flow.left() + (flow.width() - scale * size.x()) / 2;
  flow.page().add_svg(svg, {{x, top}, {x + scale * size.x(), top + scale * size.y()}});
  if (scale < 0.999) flow.remark("Drawn smaller than its scale says, to fit this page.");
}

}  // namespace

std::vector<Page> make_cutting_pages(const Design& design, const Finished& finished,
                                     const Purchase& purchase, const PurchaseOptions& options,
                                     const Vec2& paper_mm) {
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": cutting plan \u00b7 design " + make_design_hash(design));
  flow.title(
      "Cutting plan",
      design.name.empty()
          ? "what to order, how the parts lie, how they are stacked and cut"
          : design.name + ": what to order, how the parts lie, how they are stacked and cut");
  if (purchase.sheets == 0)
    flow.paragraph(format("The part does not fit a sheet of %g \u00d7 %g mm with this edge margin "
                          "and grain: choose larger sheets or a smaller design.",
                          options.sheet.short_mm, options.sheet.long_mm),
                   page_caution);
  else
    tell_order(flow, purchase, options);
  for (std::size_t o = 0; o < purchase.parts.size(); ++o) {
    const PartPurchase& part = purchase.parts[o];
    flow.heading(purchase.parts.size() > 1 ? "Part " + std::to_string(o + 1) : "At the saw");
    tell_cutting(flow, part, options.cutting);
    if (part.nest.parts_per_sheet > 0) tell_marking(flow, part);
    tell_warnings(flow, part.cutting);
  }
  flow.cautions(find_cutting_cautions(options.cutting.tool));
  for (std::size_t o = 0; o < purchase.parts.size(); ++o) {
    const PartPurchase& part = purchase.parts[o];
    if (part.nest.parts_per_sheet == 0) continue;
    const FlatPattern& pattern = finished.parts[o].pattern;
    NestDrawing drawing;
    drawing.title = design.name;
    drawing.material = options.material;
    drawing.outline_mm = pattern.outline_mm;
    drawing.holes_mm = pattern.holes_mm;
    drawing.blank_mm = part.blank_mm;
    for (const Tab& tab : pattern.tabs)
      drawing.folds_mm.emplace_back(tab.fold_from_mm, tab.fold_to_mm);
    draw_nest(flow, part.nest, drawing, paper_mm.y());
  }
  return flow.finish();
}

}  // namespace sixtyfold
