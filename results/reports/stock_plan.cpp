#include "results/reports/stock_plan.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "engine/part/scaled_pattern.h"
#include "engine/stock/stock_layout.h"
#include "engine/text.h"
#include "results/drawings/nest_drawing.h"
#include "results/files/json_writer.h"
#include "results/files/names.h"

namespace sixtyfold {

namespace {

using nlohmann::ordered_json;

std::string write_time(double minutes) {
  const long all = std::lround(minutes);
  if (all < 60) return std::to_string(all) + " min";
  return std::to_string(all / 60) + " h " + std::to_string(all % 60) + " min";
}

std::string name_of_tool(CutTool tool) { return tool == CutTool::knife ? "knife" : "scroll saw"; }

ordered_json write_boxes(const std::vector<Box>& boxes) {
  ordered_json list = ordered_json::array();
  for (const Box& box : boxes)
    list.push_back(
        {{"at_mm", {box.low.x(), box.low.y()}}, {"size_mm", {box.size().x(), box.size().y()}}});
  return list;
}

ordered_json write_points(const Polygon& polygon) {
  ordered_json list = ordered_json::array();
  for (const Vec2& p : polygon) list.push_back({p.x(), p.y()});
  return list;
}

ordered_json write_part(const PartStock& part) {
  const Nest& nest = part.nest;
  ordered_json placements = ordered_json::array();
  for (const Placement& placement : nest.placements)
    placements.push_back({{"at_mm", {placement.position_mm.x(), placement.position_mm.y()}},
                          {"rotation_deg", to_degrees(placement.rotation_rad)},
                          {"turned_over", placement.turned_over}});
  const CuttingPlan& cutting = part.cutting;
  return {{"copies", nest.copies},
          {"length_mm", part.length_mm},
          {"width_mm", part.width_mm},
          {"parts_per_sheet", nest.parts_per_sheet},
          {"sheets", nest.sheets},
          {"parts_on_last_sheet", nest.parts_on_last_sheet},
          {"utilisation", nest.utilisation},
          {"utilisation_of_full_sheet", nest.full_utilisation},
          {"flat_pattern_mm", write_points(part.pattern.outline_mm)},
          {"placements", placements},
          {"offcuts", write_boxes(nest.offcuts_mm)},
          {"last_offcuts", write_boxes(nest.last_offcuts_mm)},
          {"cutting",
           {{"blanks_per_stack", cutting.blanks_per_stack},
            {"stacks", cutting.stacks},
            {"cut_length_mm", cutting.cut_length_mm},
            {"sharp_turns", cutting.sharp_turns},
            {"holes", cutting.holes},
            {"minutes_per_stack", cutting.time_per_stack_min},
            {"minutes", cutting.total_time_min},
            {"blank_mm", {cutting.blank_mm.x(), cutting.blank_mm.y()}},
            {"throat_needed_mm", cutting.reach.needed_mm},
            {"unreachable_mm", cutting.reach.unreachable_mm},
            {"warnings", cutting.warnings}}}};
}

ordered_json write_point(const ScalePoint& point) {
  return {{"diameter_mm", point.diameter_mm},
          {"sheets", point.sheets},
          {"parts_per_sheet", point.parts_per_sheet},
          {"utilisation", point.utilisation}};
}

ordered_json make_curve_document(const Design& design, const std::vector<ScalePoint>& curve) {
  const Sheet sheet = make_sheet(design.limits);
  ordered_json points = ordered_json::array();
  for (const ScalePoint& point : curve) points.push_back(write_point(point));
  return {
      {"title", design.name},
      {"sheet", {{"size_mm", {sheet.short_mm, sheet.long_mm}}, {"grain", name_of(sheet.grain)}}},
      {"largest_diameter_by_sheets", points}};
}

std::string letter_of(std::size_t part) {
  return std::string(1, static_cast<char>('A' + part % 26));
}

}  // namespace

StockPlan make_stock_plan(const Design& design, const StockOptions& options) {
  const Sheet sheet = make_sheet(design.limits);
  StockPlan plan;
  plan.title = design.name;
  plan.thickness_mm = design.thickness_mm;
  if (options.material) {
    plan.material = options.material->title;
    plan.material_source = options.material->thickness_mm.source;
  } else {
    plan.material = format("board %g mm thick", design.thickness_mm);
  }
  plan.cutting = make_cutting_options(design.limits, design.thickness_mm);
  plan.cautions = find_cutting_cautions(plan.cutting.tool);
  std::vector<PartToNest> parts;
  const std::vector<FlatPattern> patterns =
      make_flat_patterns(design, options.flat ? *options.flat : make_flat_options(design));
  for (std::size_t o = 0; o < design.orbits.size(); ++o)
    parts.push_back({patterns[o].outline_mm, patterns[o].holes_mm,
                     static_cast<int>(design.orbits[o].copies.size())});
  StockLayout layout = make_stock_layout(
      parts, {sheet, options.first_cut, options.effort, plan.cutting, design.limits.sheet_price});
  for (std::size_t o = 0; o < parts.size(); ++o) {
    const Rectangle least = measure_least_rectangle(patterns[o].outline_mm);
    plan.copies += parts[o].copies;
    plan.parts.push_back({patterns[o], least.long_mm, least.short_mm,
                          std::move(layout.parts[o].nest), std::move(layout.parts[o].cutting)});
  }
  plan.sheets = layout.use.sheets;
  plan.utilisation = layout.use.utilisation;
  plan.cutting_min = layout.use.cutting_min;
  if (plan.sheets == 0) return plan;
  plan.board_kg = plan.sheets * sheet.area_mm2() * 1e-6 * design.limits.mass_kg_per_m2;
  if (design.limits.sheet_price > 0) plan.cost = layout.use.cost;
  return plan;
}

std::string make_stock_text(const StockPlan& plan) {
  std::string text = plan.title.empty() ? "" : plan.title + "\n";
  const Sheet& sheet = plan.parts.front().nest.sheet;
  if (plan.sheets == 0) {
    text += format("Does not fit: a part is larger than a sheet of %g x %g mm allows\n",
                   sheet.short_mm, sheet.long_mm);
  } else {
    text += count_of(plan.copies, "part", "parts") + " from " +
            count_of(plan.sheets, "sheet", "sheets") +
            format(" of %g x %g mm, ", sheet.short_mm, sheet.long_mm) + plan.material +
            format("; %.0f %% of the board used, %.1f kg of board", 100 * plan.utilisation,
                   plan.board_kg);
    text += plan.cost ? format("; %.2f to pay\n", *plan.cost) : std::string("; no price known\n");
  }
  for (std::size_t o = 0; o < plan.parts.size(); ++o) {
    const PartStock& part = plan.parts[o];
    const Nest& nest = part.nest;
    text += "\n";
    text += plan.parts.size() > 1 ? "Part " + letter_of(o) : std::string("The part");
    text += format(": %.0f x %.0f mm, ", part.length_mm, part.width_mm) +
            count_of(nest.copies, "copy", "copies") + ", " +
            count_of(nest.parts_per_sheet, "part", "parts") + " a sheet";
    if (nest.sheets > 0) text += ", " + std::to_string(nest.parts_on_last_sheet) + " on the last";
    text += "\n";
    for (const Box& box : nest.last_offcuts_mm)
      text += format("  left of the last sheet: %.0f x %.0f mm\n", box.size().maxCoeff(),
                     box.size().minCoeff());
    const CuttingPlan& cutting = part.cutting;
    if (cutting.blanks_per_stack > 0)
      text += "  cutting (" + name_of_tool(plan.cutting.tool) +
              "): " + count_of(cutting.stacks, "stack", "stacks") + " of " +
              std::to_string(cutting.blanks_per_stack) +
              format(", %.1f m and ", cutting.cut_length_mm / 1000) +
              count_of(cutting.sharp_turns, "sharp turn", "sharp turns") + " each, about " +
              write_time(cutting.total_time_min) +
              format(" at %g mm a minute\n", plan.cutting.feed_mm_per_min);
    for (const std::string& warning : cutting.warnings) text += "  warning: " + warning + "\n";
  }
  text += "\n";
  for (const std::string& fault : plan.faults) text += "! Not within its limits: " + fault + "\n";
  for (const std::string& caution : plan.cautions) text += "! " + caution + "\n";
  return text;
}

std::string write_stock_json(const StockPlan& plan) {
  const Sheet& sheet = plan.parts.front().nest.sheet;
  ordered_json parts = ordered_json::array();
  for (const PartStock& part : plan.parts) parts.push_back(write_part(part));
  const FirstCut cut = plan.parts.front().nest.first_cut;
  const CuttingOptions& cutting = plan.cutting;
  ordered_json document = {{"title", plan.title},
                           {"material", plan.material},
                           {"thickness_mm", plan.thickness_mm},
                           {"sheet",
                            {{"size_mm", {sheet.short_mm, sheet.long_mm}},
                             {"grain", name_of(sheet.grain)},
                             {"edge_margin_mm", sheet.edge_margin_mm},
                             {"gap_mm", sheet.gap_mm},
                             {"both_faces_alike", sheet.both_faces_alike},
                             {"first_cut", cut == FirstCut::none     ? "none"
                                           : cut == FirstCut::halves ? "halves"
                                                                     : "quarters"}}},
                           {"copies", plan.copies},
                           {"sheets", plan.sheets},
                           {"utilisation", plan.utilisation},
                           {"board_kg", plan.board_kg},
                           {"cutting_minutes", plan.cutting_min},
                           {"assumptions",
                            {{"tool", name_of_tool(cutting.tool)},
                             {"cutting_height_mm", cutting.cutting_height_mm},
                             {"throat_mm", cutting.throat_mm},
                             {"feed_mm_per_min", cutting.feed_mm_per_min},
                             {"corner_s", cutting.corner_s},
                             {"stack_s", cutting.stack_s},
                             {"sharp_turn_deg", cutting.sharp_turn_deg}}},
                           {"parts", parts},
                           {"faults", plan.faults},
                           {"cautions", plan.cautions}};
  if (plan.cost) document["cost"] = *plan.cost;
  return write_json(document);
}

std::string make_stock_svg(const StockPlan& plan, std::size_t part) {
  const PartStock& stock = plan.parts.at(part);
  NestDrawing drawing;
  drawing.title = plan.title;
  if (plan.parts.size() > 1)
    drawing.title += (plan.title.empty() ? "Part " : ", part ") + letter_of(part);
  drawing.material = plan.material;
  drawing.faults = plan.faults;
  drawing.outline_mm = stock.pattern.outline_mm;
  drawing.holes_mm = stock.pattern.holes_mm;
  for (const Tab& tab : stock.pattern.tabs)
    drawing.folds_mm.push_back({tab.fold_from_mm, tab.fold_to_mm});
  return make_nest_svg(stock.nest, drawing);
}

std::vector<ScalePoint> find_design_curve(const Design& design, const StockOptions& options,
                                          double low_mm, double high_mm) {
  if (design.orbits.size() != 1)
    throw std::invalid_argument(
        "a curve of sheets over diameter is drawn for designs of one part; this one has " +
        std::to_string(design.orbits.size()));
  ScaleOptions scale;
  scale.nest.sheet = make_sheet(design.limits);
  scale.nest.first_cut = options.first_cut;
  scale.nest.effort = std::max(1, options.effort - 1);
  scale.nest.copies = static_cast<int>(design.orbits[0].copies.size());
  scale.diameter_mm = measure_diameter(design);
  scale.low_mm = low_mm, scale.high_mm = high_mm;
  return find_scale_curve(
      [&](double factor) {
        const Design scaled = make_scaled(design, factor);
        return make_flat_patterns(scaled, options.flat ? *options.flat : make_flat_options(scaled))
            .front()
            .outline_mm;
      },
      scale);
}

std::string write_curve_json(const Design& design, const std::vector<ScalePoint>& curve) {
  return write_json(make_curve_document(design, curve));
}

std::string make_scale_answer(const Design& design, const ScalePoint* point) {
  const Limits& limits = design.limits;
  const std::string sheet = format("of %g x %g mm", limits.sheet_width_mm, limits.sheet_height_mm);
  if (!point) return "Not at any size looked at, from sheets " + sheet + "\n";
  std::string text = format("%.0f mm across from ", std::floor(point->diameter_mm)) +
                     count_of(point->sheets, "sheet", "sheets") + " " + sheet + ": " +
                     count_of(point->parts_per_sheet, "part", "parts") + " a sheet, " +
                     format("%.0f %% of the board used", 100 * point->utilisation);
  if (limits.sheet_price > 0) text += format("; %.2f to pay", limits.sheet_price * point->sheets);
  return text +
         "\nFound by nesting, so more patience may find a little more. Tabs and board thickness "
         "stay as they are; check the design at this size.\n";
}

std::string write_scale_answer_json(const Design& design, const std::vector<ScalePoint>& curve,
                                    const ScalePoint* point) {
  ordered_json document = {{"answer", point ? write_point(*point) : ordered_json()}};
  document.update(make_curve_document(design, curve));
  return write_json(document);
}

}  // namespace sixtyfold
