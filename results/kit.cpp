#include "results/kit.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <stdexcept>

#include "engine/stock/cutting.h"
#include "engine/stock/nest.h"
#include "results/drawing_svg.h"
#include "results/palette.h"

namespace sixtyfold {

namespace {

/// Plain names of panel_colours, in their order.
const std::vector<std::string>& find_colour_names() {
  static const std::vector<std::string> names = {"blue", "amber", "red", "violet", "mint",
                                                 "plum", "cream", "sky blue", "brown", "lime"};
  return names;
}

std::vector<Page> make_colour_pages(const Design& design, const std::vector<int>& colour_of) {
  std::vector<Page> pages;
  pages.emplace_back(210, 297);
  Page& page = pages.back();
  page.add_text({16, 24}, "Colour plan", {8, TextAt::start, "#22262e", true, 0});
  std::map<int, std::vector<int>> copies_of;
  for (std::size_t copy = 0; copy < colour_of.size(); ++copy) copies_of[colour_of[copy]].push_back(static_cast<int>(copy));
  double y = page.add_paragraph({16, 27},
                                copies_of.size() > 1
                                    ? "Panels of one colour are the copies of one coset of a subgroup, so every turn of the construction carries "
                                      "colours onto colours. The numbers are those of the guide."
                                    : "No subgroup divides these copies into a few equal classes, so no symmetric colouring is offered.",
                                178, {3.7, TextAt::start, "#22262e", false, 0});
  DrawingOptions options;
  options.width_mm = 150, options.height_mm = 140;
  options.setting = Setting::plain;
  page.add_svg(make_drawing_svg(design, options), {{30, y + 2}, {180, y + 142}});
  y += 146;
  for (const auto& [colour, copies] : copies_of) {
    if (copies_of.size() < 2) break;
    const char* hex = panel_colours[static_cast<std::size_t>(colour) % panel_colours.size()];
    page.add_polygon({{16, y}, {24, y}, {24, y + 6}, {16, y + 6}}, {"#22262e", 0.25, hex, ""});
    std::string text = find_colour_names()[static_cast<std::size_t>(colour) % panel_colours.size()] + ", " +
                       std::to_string(copies.size()) + " panels:";
    for (const int copy : copies) text += " " + std::to_string(copy + 1);
    y = std::max(y + 8, page.add_paragraph({28, y - 0.5}, text, 160, {3.4, TextAt::start, "#22262e", false, 0}) + 2);
    if (y > 275) {
      pages.emplace_back(210, 297);
      return pages;
    }
  }
  return pages;
}

std::string whole(double v) { return std::to_string(std::lround(v)); }

/// Parts of one outline nested on sheets to scale, with the order list, stacks and saw time.
std::vector<Page> make_cutting_pages(const FlatPattern& pattern, int copies, const KitOptions& options) {
  NestOptions nesting;
  nesting.sheet = options.sheet;
  nesting.copies = copies;
  const Nest nest = make_nest(pattern.outline_mm, nesting);
  std::vector<Page> pages;
  pages.emplace_back(210, 297);
  Page& page = pages.back();
  page.add_text({16, 24}, "Cutting plan", {8, TextAt::start, "#22262e", true, 0});
  const PageText text{3.7, TextAt::start, "#22262e", false, 0};
  if (nest.parts_per_sheet == 0) {
    page.add_paragraph({16, 28}, "The part does not fit a sheet of " + whole(options.sheet.short_mm) + " x " + whole(options.sheet.long_mm) +
                                     " mm with this edge margin and grain: choose larger sheets or a smaller design.", 178, text);
    return pages;
  }
  CuttingOptions cutting;
  cutting.thickness_mm = options.flat.thickness_mm;
  const CuttingPlan plan = plan_cutting(pattern.outline_mm, pattern.holes_mm, copies, cutting);
  double y = page.add_paragraph({16, 28},
                                "Order " + std::to_string(nest.sheets) + " sheets of " + whole(options.sheet.short_mm) + " x " + whole(options.sheet.long_mm) +
                                    " mm, " + std::to_string(nest.parts_per_sheet) + " parts on a full sheet, for " + std::to_string(copies) +
                                    " parts with the spares. " + whole(100 * nest.utilisation) + " % of the board becomes parts.", 178, text);
  std::string saw;
  if (plan.blanks_per_stack == 0)
    saw = "The board is thicker than a saw's cutting height of " + whole(cutting.cutting_height_mm) + " mm.";
  else
    saw = "With a scroll saw: " + std::to_string(plan.stacks) + " stacks of " + std::to_string(plan.blanks_per_stack) + " (" +
          whole(cutting.cutting_height_mm) + " mm high: common practice, no published source), " + whole(plan.cut_length_mm) +
          " mm of line each, " + whole(plan.time_per_stack_min) + " minutes a stack, " + whole(plan.total_time_min) +
          " minutes at one saw. Blanks " + whole(plan.blank_mm.x()) + " x " + whole(plan.blank_mm.y()) + " mm.";
  y = page.add_paragraph({16, y + 1.5}, saw, 178, text);
  for (const std::string& warning : plan.warnings) y = page.add_paragraph({16, y + 1}, warning, 178, text);
  PageText caution = text;
  caution.colour = "#8a1c14";
  for (const std::string& sentence : find_cutting_cautions(CutTool::scroll_saw)) y = page.add_paragraph({16, y + 1}, sentence, 178, caution);
  // The sheet, its long side across the page or up it, whichever is larger.
  const Vec2 sheet(options.sheet.long_mm, options.sheet.short_mm);
  const double scale = std::min(178 / sheet.x(), (281 - y - 14) / sheet.y());
  const Vec2 corner(16 + (178 - scale * sheet.x()) / 2, y + 6);
  const auto place = [&](const Vec2& p) { return Vec2(corner.x() + scale * p.x(), corner.y() + scale * (sheet.y() - p.y())); };
  page.add_polygon({place({0, 0}), place({sheet.x(), 0}), place(sheet), place({0, sheet.y()})}, {"#22262e", 0.4, "#fbf6ea", ""});
  for (std::size_t k = 0; k < nest.placements.size(); ++k) {
    Polygon part;
    const Polygon placed = nest.placements[k].place(pattern.outline_mm);
    for (const Vec2& p : placed) part.push_back(place(p));
    page.add_polygon(part, {"#22262e", 0.3, "#f3dfb8", ""});
    page.add_text(place(measure_centroid(make_counter_clockwise(placed))) + Vec2(0, 1.2), std::to_string(k + 1),
                  {3.4, TextAt::middle, "#22262e", true, 0});
  }
  char ratio[24];
  std::snprintf(ratio, sizeof ratio, "1 : %.1f", 1 / scale);
  page.add_text({16, corner.y() + scale * sheet.y() + 5},
                std::string("one full sheet, ") + ratio + (options.sheet.grain == Grain::along_long_side ? ", grain along the long side"
                                                           : options.sheet.grain == Grain::along_short_side ? ", grain along the short side" : "") +
                    "; last sheet: parts 1 to " + std::to_string(nest.parts_on_last_sheet), {3, TextAt::start, "#666666", false, 0});
  return pages;
}

}  // namespace

std::string KitOptions::find_fault() const {
  for (const std::string& fault : {flat.find_fault(), pattern.find_fault(), event.find_fault(), sheet.find_fault()})
    if (!fault.empty()) return fault;
  if (!(1 <= assembly.most_in_module && assembly.most_in_module <= 60))
    return "most_in_module is " + std::to_string(assembly.most_in_module) + ", but must be from 1 to 60";
  return "";
}

KitOptions make_kit_options(const Design& design) {
  KitOptions options;
  options.flat.thickness_mm = design.thickness_mm;
  options.flat.tab_depth_mm = design.limits.tab_depth_mm;
  options.flat.least_tab_depth_mm = std::min(options.flat.least_tab_depth_mm, options.flat.tab_depth_mm);
  options.sheet = make_sheet(design.limits);
  return options;
}

Kit make_kit(const Design& given, const KitOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty()) throw std::invalid_argument(fault);
  if (given.joints.empty()) throw std::invalid_argument("the design has no joints, so there is nothing to build");
  Design design = given;
  design.thickness_mm = options.flat.thickness_mm;
  const Finished finished = make_finished(design, options.flat);
  Kit kit;
  kit.warnings = finished.joints.faults;
  const SlabReport slabs = measure_slabs(design, finished);
  if (!slabs.overlaps.empty())
    kit.warnings.push_back(std::to_string(slabs.overlaps.size()) + " pairs of finished panels run into each other, first " +
                           std::to_string(slabs.overlaps[0].copies[0] + 1) + " and " + std::to_string(slabs.overlaps[0].copies[1] + 1) +
                           ": choose thinner board or another design");
  for (const FinishedPart& part : finished.parts)
    if (!part.pattern.joints_without_tab.empty())
      kit.warnings.push_back(std::to_string(part.pattern.joints_without_tab.size()) +
                             " edges of the part carry no tab, since none of a useful depth fits: the guide says how to back them");
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const std::string name = o == 0 ? "template" : "template-" + std::to_string(o + 1);
    const TemplateDrawing drawing = make_template_drawing(design, finished, static_cast<int>(o), options.pattern);
    const Page whole = make_template_page(drawing);
    std::vector<Page> pages = make_tiled_pages(drawing, options.pattern);
    pages.insert(pages.begin(), whole);
    kit.files.push_back({name + ".svg", whole.to_svg()});
    kit.files.push_back({name + ".pdf", make_pdf(pages)});
    kit.files.push_back({name + ".dxf", make_template_dxf(drawing)});
  }
  kit.files.push_back({"coupon.pdf", make_pdf({make_coupon_page(options.pattern, design.thickness_mm)})});
  kit.files.push_back({"paper-model.pdf", make_pdf(make_paper_model_pages(design, options.flat, options.pattern))});
  const AssemblyPlan plan = plan_assembly(design, finished, options.assembly);
  GuideOptions guide;
  guide.paper = options.pattern.paper;
  const std::vector<int> colours = find_coset_colours(design);
  if (!colours.empty() && *std::max_element(colours.begin(), colours.end()) > 0) {
    guide.colour_of = colours;
    guide.colour_names = find_colour_names();
  }
  const std::vector<Page> pages = make_guide_pages(design, finished, plan, guide);
  kit.files.push_back({"guide.pdf", make_pdf(pages)});
  kit.files.push_back({"guide.html", make_pages_html(design.name.empty() ? "Build guide" : design.name + ": build guide", pages)});
  kit.files.push_back({"colours.pdf", make_pdf(make_colour_pages(design, colours))});
  kit.files.push_back({"day.pdf", make_pdf(make_event_pages(design, finished, plan, options.event))});
  std::vector<Page> cutting;
  for (std::size_t o = 0; o < finished.parts.size(); ++o) {
    const int copies = static_cast<int>(std::ceil(static_cast<double>(design.orbits[o].copies.size()) * (1 + options.event.spare_share)));
    for (const Page& page : make_cutting_pages(finished.parts[o].pattern, copies, options)) cutting.push_back(page);
  }
  kit.files.push_back({"cutting-plan.pdf", make_pdf(cutting)});
  int closing = 0;
  for (const AssemblyStep& step : plan.steps) closing += static_cast<int>(step.coming_in == ComingIn::no_straight_push);
  if (closing > 0)
    kit.warnings.push_back(std::to_string(closing) + " of " + std::to_string(plan.steps.size()) +
                           " steps have no straight push to their place; the guide names them");
  return kit;
}

}  // namespace sixtyfold
