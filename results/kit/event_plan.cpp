#include "results/kit/event_plan.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/allowed.h"
#include "engine/building/joint_sides.h"
#include "engine/part/part_joints.h"
#include "engine/text.h"
#include "results/drawings/page_flow.h"
#include "results/files/design_hash.h"
#include "results/kit/build_guide.h"
#include "results/kit/kit_template.h"
#include "results/kit/rigging_pages.h"

namespace sixtyfold {

namespace {

/// The spans of the day on one time axis.
void draw_day(PageFlow& flow, const DayPlan& day) {
  std::vector<DaySpan> rows;
  for (const DaySpan& span : day.spans)
    if (span.name != "break") rows.push_back(span);
  const auto count = static_cast<double>(rows.size());
  const double row = 7.4, top = flow.take(count * row + 11);
  const double left = flow.left() + 38, length = flow.width() - 38 - 30;
  const double scale = length / std::max(1.0, day.minutes);
  Page& page = flow.page();
  for (const DaySpan& span : day.spans)
    if (span.name == "break")
      page.add_polygon({{left + scale * span.from, top},
                        {left + scale * span.to, top},
                        {left + scale * span.to, top + count * row + 1.5},
                        {left + scale * span.from, top + count * row + 1.5}},
                       {"", 0, "#ece7da", ""});
  const double axis_step = day.minutes > 480 ? 120 : day.minutes > 240 ? 60 : 30;
  for (double t = 0; t <= day.minutes + 1e-9; t += axis_step) {
    page.add_line({left + scale * t, top}, {left + scale * t, top + count * row + 1.5},
                  {"#d8d2c4", 0.2, "", ""});
    page.add_text({left + scale * t, top + count * row + 5.4},
                  std::fmod(t, 60) == 0 ? format("%.0f h", t / 60) : format("%.1f h", t / 60),
                  {2.8, TextAt::middle, page_quiet, false, 0});
  }
  static const char* const colours[] = {"#9a948a", "#6cb3dd", "#f0a63a", "#ab4a68", "#b3d6c8",
                                        "#2a7fae", "#463a9c", "#d8d2c4", "#c3d53e", "#6b3c2e"};
  for (std::size_t k = 0; k < rows.size(); ++k) {
    const double y = top + static_cast<double>(k) * row;
    page.add_text({flow.left(), y + 4.6}, rows[k].name, {3.3, TextAt::start, page_ink, false, 0});
    const double from = left + scale * rows[k].from,
                 to = std::max(from + 0.6, left + scale * rows[k].to);
    page.add_polygon({{from, y + 1}, {to, y + 1}, {to, y + 6}, {from, y + 6}},
                     {"", 0, colours[k % std::size(colours)], ""});
    page.add_text({left + length + 3, y + 4.6}, rows[k].who,
                  {2.8, TextAt::start, page_quiet, false, 0});
  }
}

std::string size_of(const Vec3& box) {
  return format("%.0f \u00d7 %.0f \u00d7 %.0f mm", box[0], box[1], box[2]);
}

std::string list_copies(const std::vector<int>& copies) {
  std::string text;
  for (std::size_t k = 0; k < copies.size(); ++k)
    text += (k == 0 ? "" : k + 1 == copies.size() ? " and " : ", ") + std::to_string(copies[k] + 1);
  return text;
}

}  // namespace

std::string EventOptions::find_fault() const {
  if (const std::string fault = schedule.find_fault(); !fault.empty()) return fault;
  if (const std::string fault = day.find_fault(); !fault.empty()) return fault;
  if (std::string fault = allowed::hanging_points.find_fault(rigging.points); !fault.empty())
    return fault;
  for (const double v : {door_width_mm, door_height_mm})
    if (!(100 <= v && v <= 20000))
      return format("a side of the door is %g mm, but must be from 100 to 20000 mm", v);
  return glue.find_fault();
}

Rigging find_rigging(const Design& design, const Finished& finished, const EventOptions& options) {
  const Design glued = make_glued(design, finished);
  Rigging best;
  best.fault = format("from %d points on the upper panels it is not held in balance",
                      options.rigging.points);
  for (int points = options.rigging.points; points <= options.rigging.points + 4; ++points) {
    const Hanging hanging = find_hanging(glued, points, options.glue);
    if (hanging.copies.empty()) continue;
    const Rigging rigging = make_rigging(glued, finished, hanging, options.glue, options.rigging);
    if (rigging.points.empty()) {
      if (best.points.empty()) best = rigging;
      continue;
    }
    if (best.points.empty() || rigging.tilt_deg < best.tilt_deg - 5) best = rigging;
    if (best.tilt_deg < 10) break;
  }
  return best;
}

EventPlan make_event_plan(const Design& design, const Finished& finished,
                          const AssemblyPlan& assembly, const Purchase& purchase,
                          const PurchaseOptions& ordering, const Rigging& rigging,
                          const EventOptions& options) {
  EventPlan plan;
  plan.work = measure_work(design, finished, assembly, purchase, ordering.cutting);
  plan.day = make_day_plan(plan.work, options.schedule, options.day, plan.work.tabs_per_part > 0,
                           assembly.chosen.panels > 1);
  plan.helpful = find_savings(plan.work, options.schedule, options.day);
  plan.rigging = rigging;
  plan.savings = measure_savings(plan.work, options.schedule);
  Design cut = design;  // with its tabs on
  double glued_mm2 = 0;
  std::size_t most_tabs = 0;
  for (std::size_t o = 0; o < cut.orbits.size(); ++o) {
    const FlatPattern& pattern = finished.parts[o].pattern;
    cut.orbits[o].panel.flat_pattern_mm = pattern.outline_mm;
    for (const Slot& slot : pattern.slots)  // both walls
      glued_mm2 += 2 * slot.depth_mm * design.thickness_mm *
                   static_cast<double>(cut.orbits[o].copies.size());
    for (const Tab& tab : pattern.tabs)
      glued_mm2 += measure_area(tab.outline_mm) * static_cast<double>(cut.orbits[o].copies.size());
    most_tabs = std::max(most_tabs, pattern.tabs.size());
  }
  plan.glue_g = glued_mm2 * 1e-6 * 150;
  plan.clips = std::max(8, static_cast<int>(2 * most_tabs) * std::max(1, assembly.chosen.panels));
  plan.mass_kg = measure_mass_kg(cut);
  std::vector<int> all;
  for (int copy = 0; copy < count_copies(design); ++copy) all.push_back(copy);
  for (const auto& corners : find_corners(design))
    for (const Vec3& p : corners) plan.diameter_mm = std::max(plan.diameter_mm, 2 * p.norm());
  const double narrow = std::min(options.door_width_mm, options.door_height_mm),
               tall = std::max(options.door_width_mm, options.door_height_mm);
  plan.module_passage_mm = measure_passage(design, assembly.chosen.modules.front(), tall);
  plan.whole_passage_mm = measure_passage(design, all, tall);
  plan.module_passes_door =
      plan.module_passage_mm[0] <= narrow && plan.module_passage_mm[1] <= tall;
  plan.whole_passes_door = plan.whole_passage_mm[0] <= narrow && plan.whole_passage_mm[1] <= tall;
  plan.drawn = measure_standing(design, -Vec3::UnitZ());
  plan.best = find_best_standing(design);
  return plan;
}

std::vector<Page> make_event_pages(const Design& design, const AssemblyPlan& assembly,
                                   const EventPlan& plan, const Purchase& purchase,
                                   const PurchaseOptions& ordering, const EventOptions& options,
                                   const Vec2& paper_mm) {
  const ScheduleOptions& day = options.schedule;
  const bool has_tabs = plan.work.tabs_per_part > 0;
  PageFlow flow(paper_mm, (design.name.empty() ? "Construction" : design.name) +
                              ": the day \u00b7 design " + make_design_hash(design));
  flow.title("The day", (design.name.empty() ? "" : design.name + ": ") +
                            count_of(day.people, "person", "people") + " and " +
                            count_of(day.saws, "saw", "saws"));
  flow.facts({{write_hours(plan.day.minutes), "drying, breaks and all"},
              {std::to_string(purchase.count_parts()),
               format("parts to cut, %d of them spare", purchase.count_parts() - plan.work.parts)},
              {std::to_string(plan.work.modules),
               assembly.chosen.panels > 1 ? "modules" : "panels to place"},
              {std::to_string(design.joints.size()), "joints"},
              {format("%.1f kg", plan.mass_kg), has_tabs ? "finished, with tabs" : "finished"}});

  flow.heading("Hour by hour");
  draw_day(flow, plan.day);
  flow.paragraph(name_bottleneck(plan.day.schedule, plan.savings, day));
  if (plan.helpful.empty()) {
    flow.paragraph("Neither a saw nor people more would shorten the day.");
  } else {
    std::vector<std::vector<std::string>> help = {
        {"What would help", "the day takes", "saved"},
        {"as planned", write_hours(plan.day.minutes), ""}};
    for (const Saving& saving : plan.helpful)
      help.push_back({saving.what, write_hours(plan.day.minutes - saving.minutes),
                      write_hours(saving.minutes)});
    flow.table({3, 2, 2}, help);
  }
  double saw_min = 0;
  for (const EventWork::Stack& stack : plan.work.stacks) saw_min = std::max(saw_min, stack.saw_min);
  flow.table(
      {3, 2, 2.4, 4},
      {{"Station", "at once", "each takes", "what they do"},
       {"trace and stack", "1 a stack", format("%.0f min a stack", ordering.cutting.stack_s / 60),
        "draw round the template, clamp the blanks, take them apart"},
       {"cut", "1 a saw", format("%.0f min a stack", saw_min), "follow the line; the trained only"},
       has_tabs
           ? std::vector<std::string>{"fold", "1 a part", format("%.1f min a tab", day.fold_min),
                                      "score, fold, hold against the gauge, put the sticker on"}
           : std::vector<std::string>{"mark", "1 a part", format("%.1f min a part", day.fold_min),
                                      "try a slot, put the sticker on"},
       assembly.chosen.panels > 1
           ? std::vector<std::string>{"glue modules", format("%d a module", day.module_people),
                                      format("%.1f min a joint", day.joint_min),
                                      "fit dry, tick, glue, clip, tick"}
           : std::vector<std::string>{"hand over", "1 a panel", "",
                                      "panels in the order of the guide"},
       {"assemble", format("%d", day.assembly_people), format("%.1f min a joint", day.joint_min),
        "half of them hold, half glue; one reads the guide aloud"}});
  flow.remark(format(
      "Drying before a module is handled: %.0f min, before the whole is moved: %.0f min; ask "
      "the glue's label, many want a day for full strength. Set up %.0f min, a break of %.0f "
      "min after every %.0f. The times are from memory: time one of each and have the plan "
      "printed again. "
      "For comparison: sixty parts take a group about three hours to cut, assemble and "
      "glue, cutting being the longest; a stack of about six "
      "single-wall boards is about 25 mm high (both common practice, no published source).",
      day.dry_min, options.day.last_dry_min, options.day.set_up_min, options.day.break_min,
      options.day.break_after_min));

  flow.heading("Shopping list");
  std::vector<std::vector<std::string>> rows = {{"What", "How much", "Remarks"}};
  if (purchase.sheets > 0)
    rows.push_back({ordering.material.empty() ? "board" : ordering.material,
                    describe_sheets(purchase, ordering),
                    purchase.cost ? format("%.2f at %.2f a sheet, in your own money",
                                           *purchase.cost, *ordering.price)
                                  : "no price known"});
  else
    rows.push_back(
        {"board", "a larger sheet", "the part does not fit the sheet named: see the cutting plan"});
  rows.push_back(
      {"wood glue", format("about %.0f g", std::max(50.0, std::ceil(plan.glue_g / 50) * 50)),
       has_tabs ? "150 g for each square metre of tab, on one of the two faces (from memory)"
                : "150 g for each square metre of slot wall (from memory)"});
  rows.push_back(
      {"clips or clamps", std::to_string(plan.clips) + " a team",
       format("that open more than %.0f mm; the guide names the joints they do not reach",
              2 * design.thickness_mm)});
  rows.push_back({"knives, steel rules, mats", "one set a folding place",
                  "spare blades in their box; a blunt blade slips"});
  rows.push_back({"pencils, awls", "one each a place", "the awl pricks line ends through"});
  rows.push_back({"printed template", count_of(2 * day.saws, "copy", "copies"),
                  "glued to card or board and cut out with care: parts are as true as it is"});
  rows.push_back({"printed guide", "one a team", "the boxes are ticked with a pencil"});
  rows.push_back({"eye protection, dust masks", count_of(day.saws + 2, "piece", "pieces"),
                  "at the saws; first-aid box in sight"});
  flow.table({3, 3, 5}, rows);

  flow.heading("Carrying");
  flow.paragraph(
      (assembly.chosen.panels > 1 ? "A module goes through an opening of "
                                  : "A panel goes through an opening of ") +
      format("%.0f \u00d7 %.0f mm", plan.module_passage_mm[0], plan.module_passage_mm[1]) +
      " and is " + size_of(plan.module_passage_mm) + " packed; " +
      (plan.module_passes_door ? "it passes" : "it does not pass") +
      format(" a door of %.0f \u00d7 %.0f mm. ", options.door_width_mm, options.door_height_mm) +
      format("The whole needs %.0f \u00d7 %.0f mm", plan.whole_passage_mm[0],
             plan.whole_passage_mm[1]) +
      (plan.whole_passes_door
           ? " and passes it too."
           : " and does not pass: join the modules in the room where it will be."));

  flow.heading("Hanging");
  const Rigging& rigging = plan.rigging;
  if (!rigging.points.empty()) {
    std::vector<int> copies;
    double most_n = 0;
    for (const RigPoint& point : rigging.points)
      copies.push_back(point.copy), most_n = std::max(most_n, point.upward_n);
    flow.paragraph(
        format("Mass %.1f kg. Tied at ", plan.mass_kg) +
        (copies.size() == 1 ? "panel " : "panels ") + list_copies(copies) +
        format(" it hangs %s, and each point carries up to %.0f N at rest (%.1f kg).",
               rigging.tilt_deg < 2
                   ? "as drawn"
                   : format("turned by %.0f degrees from as drawn", rigging.tilt_deg).c_str(),
               most_n, most_n / gravity_m_per_s2));
    if (static_cast<int>(copies.size()) > options.rigging.points)
      flow.paragraph(
          format("From %d points it would hang askew or not in balance, so %d are planned.",
                 options.rigging.points, static_cast<int>(copies.size())));
    draw_rigging(flow, design, rigging, options.rigging);
    if (rigging.load.worst_joint >= 0) {
      const Joint& worst = design.joints[static_cast<std::size_t>(rigging.load.worst_joint)];
      flow.paragraph(
          format("The most loaded glue line is that between panels %d and %d: %.3f N for each mm. "
                 "Glue taken as holding %.2g N/mm (",
                 worst.panels[0] + 1, worst.panels[1] + 1,
                 options.glue.strength_n_per_mm / rigging.load.reserve,
                 options.glue.strength_n_per_mm) +
          options.glue_source +
          format("), that is a reserve of %.1f; it sags about %.1f mm.",
                 std::floor(10 * rigging.load.reserve) / 10, rigging.load.deflection_mm) +
          (rigging.load.reserve < 10 ? " Less than 10: back those joints, or take more points."
                                     : ""));
    }
    flow.paragraph(format("Practice over people asks for 8 to 10 times the load at rest (from "
                          "memory): at 10 times, points, ropes and fittings for %.0f N each, "
                          "and a second, independent suspension. ",
                          10 * most_n) +
                       "Never tie to a tab or an edge of board alone. This is no load calculation.",
                   page_ink);
  } else {
    draw_rigging(flow, design, rigging, options.rigging);
  }

  flow.heading("Standing");
  if (plan.drawn.tip_deg > 0)
    flow.paragraph(format("Standing as drawn, on %d points, it tips beyond %.1f degrees of lean.",
                          plan.drawn.feet, plan.drawn.tip_deg));
  else
    flow.paragraph("As drawn it stands on a point or an edge: it needs a cradle or a rope.");
  if (plan.best.tip_deg > plan.drawn.tip_deg + 0.05)
    flow.paragraph(
        format("Turned so that another axis stands upright, on %d points, it tips only beyond %.1f "
               "degrees.",
               plan.best.feet, plan.best.tip_deg));
  flow.paragraph(
      "Block or rope it off all the same, and keep people from leaning on it; stacked board seldom "
      "lies level on a floor.");

  flow.heading("Afterwards");
  double pile = 0;
  for (const Orbit& orbit : design.orbits)
    pile += static_cast<double>(orbit.copies.size()) * design.thickness_mm;
  flow.point(std::string("Taking apart: backwards through the guide. ") +
             (has_tabs ? "Slit each glued tab along its fold"
                       : "Slit the glue along both walls of each slot") +
             " with a short blade, away from the hand; two people hold what comes loose, from a "
             "platform, never from a ladder.");
  flow.point(
      format("Storing flat: the panels make a pile of %.0f mm, %.0f \u00d7 %.0f mm. %sumbers up, "
             "bundled by module, dry, with a board on top.",
             pile, purchase.parts.front().cutting.blank_mm.x(),
             purchase.parts.front().cutting.blank_mm.y(), has_tabs ? "Tabs folded flat, n" : "N"));
  flow.point(
      has_tabs
          ? "A torn tab: cut a strip of the same board 40 mm wide and as long as the fold, score "
            "it along the middle, fold it to the tab's angle, glue it over the fold line on the "
            "inside, clamp until dry. The spare parts are for worse."
          : "A torn slot: glue a strip of the same board 40 mm wide over the tear, beside the slot "
            "and clear of the panel in it; clamp until dry. The spare parts are for worse.");

  flow.keep(78);
  flow.heading("Cautions");
  flow.cautions(find_build_cautions());
  return flow.finish();
}

}  // namespace sixtyfold
