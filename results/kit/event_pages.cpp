#include "results/kit/event_pages.h"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "engine/text.h"
#include "results/drawings/page_flow.h"
#include "results/files/design_hash.h"
#include "results/kit/build_guide.h"
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

class DayPages {
 public:
  DayPages(const EventSubject& kit, const EventPlan& plan, const Vec2& paper_mm)
      : kit_(kit),
        plan_(plan),
        stations_(kit.options.schedule),
        has_tabs_(plan.work.tabs_per_part > 0),
        has_modules_(kit.assembly.chosen.panels > 1),
        flow_(paper_mm, (kit.design.name.empty() ? "Construction" : kit.design.name) +
                            ": the day \u00b7 design " + make_design_hash(kit.design)) {}

  std::vector<Page> draw() {
    draw_head();
    draw_hours();
    draw_stations();
    draw_shopping();
    draw_carrying();
    draw_hanging();
    draw_standing();
    draw_afterwards();
    flow_.keep(78);
    flow_.heading("Cautions");
    flow_.cautions(find_build_cautions());
    return flow_.finish();
  }

 private:
  void draw_head() {
    flow_.title("The day", (kit_.design.name.empty() ? "" : kit_.design.name + ": ") +
                               count_of(stations_.people, "person", "people") + " and " +
                               count_of(stations_.saws, "saw", "saws"));
    flow_.facts(
        {{write_hours(plan_.day.minutes), "drying, breaks and all"},
         {std::to_string(kit_.purchase.count_parts()),
          format("parts to cut, %d of them spare", kit_.purchase.count_parts() - plan_.work.parts)},
         {std::to_string(plan_.work.modules), has_modules_ ? "modules" : "panels to place"},
         {std::to_string(kit_.design.joints.size()), "joints"},
         {format("%.1f kg", plan_.mass_kg), has_tabs_ ? "finished, with tabs" : "finished"}});
  }

  void draw_hours() {
    flow_.heading("Hour by hour");
    draw_day(flow_, plan_.day);
    flow_.paragraph(name_bottleneck(plan_.day.schedule, plan_.savings, stations_, has_modules_));
    if (plan_.helpful.empty()) {
      flow_.paragraph("Neither a saw nor people more would shorten the day.");
    } else {
      std::vector<std::vector<std::string>> help = {
          {"What would help", "the day takes", "saved"},
          {"as planned", write_hours(plan_.day.minutes), ""}};
      for (const Saving& saving : plan_.helpful)
        help.push_back({saving.what, write_hours(plan_.day.minutes - saving.minutes),
                        write_hours(saving.minutes)});
      flow_.table({3, 2, 2}, help);
    }
  }

  void draw_stations() {
    double saw_min = 0;
    for (const EventWork::Stack& stack : plan_.work.stacks)
      saw_min = std::max(saw_min, stack.saw_min);
    flow_.table(
        {3, 2, 2.4, 4},
        {{"Station", "at once", "each takes", "what they do"},
         {"trace and stack", "1 a stack",
          format("%.0f min a stack", kit_.ordering.cutting.stack_s / 60),
          "draw round the template, clamp the blanks, take them apart"},
         {"cut", "1 a saw", format("%.0f min a stack", saw_min),
          "follow the line; the trained only"},
         has_tabs_
             ? std::vector<std::string>{"fold", "1 a part",
                                        format("%.1f min a tab", stations_.fold_min),
                                        "score, fold, hold against the gauge, put the sticker on"}
             : std::vector<std::string>{"mark", "1 a part",
                                        format("%.1f min a part", stations_.fold_min),
                                        "try a slot, put the sticker on"},
         has_modules_ ? std::vector<std::string>{"glue modules",
                                                 format("%d a module", stations_.module_people),
                                                 format("%.1f min a joint", stations_.joint_min),
                                                 "fit dry, tick, glue, clip, tick"}
                      : std::vector<std::string>{"hand over", "1 a panel", "",
                                                 "panels in the order of the guide"},
         {"assemble", format("%d", stations_.assembly_people),
          format("%.1f min a joint", stations_.joint_min),
          "half of them hold, half glue; one reads the guide aloud"}});
    flow_.remark(format(
        "%sefore the whole is moved: %.0f min; ask "
        "the glue's label, many want a day for full strength. Set up %.0f min, a break of %.0f "
        "min after every %.0f. The times are from memory: time one of each and have the plan "
        "printed again. "
        "For comparison: sixty parts take a group about three hours to cut, assemble and "
        "glue, cutting being the longest; a stack of about six "
        "single-wall boards is about 25 mm high (both common practice, no published source).",
        (has_modules_ ? format("Drying before a module is handled: %.0f min, b", stations_.dry_min)
                      : std::string("Drying b"))
            .c_str(),
        kit_.options.day.last_dry_min, kit_.options.day.set_up_min, kit_.options.day.break_min,
        kit_.options.day.break_after_min));
  }

  void draw_shopping() {
    flow_.heading("Shopping list");
    std::vector<std::vector<std::string>> rows = {{"What", "How much", "Remarks"}};
    if (kit_.purchase.sheets > 0)
      rows.push_back({kit_.ordering.material.empty() ? "board" : kit_.ordering.material,
                      describe_sheets(kit_.purchase, kit_.ordering),
                      kit_.purchase.cost ? format("%.2f at %.2f a sheet, in your own money",
                                                  *kit_.purchase.cost, *kit_.ordering.price)
                                         : "no price known"});
    else
      rows.push_back({"board", "a larger sheet",
                      "the part does not fit the sheet named: see the cutting plan"});
    rows.push_back(
        {"wood glue", format("about %.0f g", std::max(50.0, std::ceil(plan_.glue_g / 50) * 50)),
         has_tabs_ ? "150 g for each square metre of tab, on one of the two faces (from memory)"
                   : "150 g for each square metre of slot wall (from memory)"});
    rows.push_back(
        {"clips or clamps", std::to_string(plan_.clips) + " a team",
         format("that open more than %.0f mm; the guide names the joints they do not reach",
                2 * kit_.design.thickness_mm)});
    if (has_tabs_ || kit_.ordering.cutting.tool == CutTool::knife)
      rows.push_back({"knives, steel rules, mats",
                      has_tabs_ ? "one set a folding place" : "one set a cutting place",
                      "spare blades in their box; a blunt blade slips"});
    rows.push_back({"pencils, awls", "one each a place", "the awl pricks line ends through"});
    rows.push_back({"printed template", count_of(2 * stations_.saws, "copy", "copies"),
                    "glued to card or board and cut out with care: parts are as true as it is"});
    rows.push_back({"printed guide", "one a team", "the boxes are ticked with a pencil"});
    rows.push_back({"eye protection, dust masks", count_of(stations_.saws + 2, "piece", "pieces"),
                    "at the saws; first-aid box in sight"});
    flow_.table({3, 3, 5}, rows);
  }

  void draw_carrying() {
    flow_.heading("Carrying");
    flow_.paragraph(
        (has_modules_ ? "A module goes through an opening of "
                      : "A panel goes through an opening of ") +
        format("%.0f \u00d7 %.0f mm", plan_.module_passage_mm[0], plan_.module_passage_mm[1]) +
        " and is " + size_of(plan_.module_passage_mm) + " packed; " +
        (plan_.module_passes_door ? "it passes" : "it does not pass") +
        format(" a door of %.0f \u00d7 %.0f mm. ", kit_.options.door_width_mm,
               kit_.options.door_height_mm) +
        format("The whole needs %.0f \u00d7 %.0f mm", plan_.whole_passage_mm[0],
               plan_.whole_passage_mm[1]) +
        (plan_.whole_passes_door
             ? " and passes it too."
             : std::string(" and does not pass: join the ") +
                   (has_modules_ ? "modules" : "panels") + " in the room where it will be."));
  }

  void draw_hanging() {
    flow_.heading("Hanging");
    const Rigging& rigging = plan_.rigging;
    if (!rigging.points.empty()) {
      std::vector<int> copies;
      double most_n = 0;
      for (const RigPoint& point : rigging.points)
        copies.push_back(point.copy), most_n = std::max(most_n, point.upward_n);
      flow_.paragraph(
          format("Mass %.1f kg. Tied at ", plan_.mass_kg) +
          (copies.size() == 1 ? "panel " : "panels ") + list_copies(copies) +
          format(" it hangs %s, and each point carries up to %.0f N at rest (%.1f kg).",
                 rigging.tilt_deg < 2
                     ? "as drawn"
                     : format("turned by %.0f degrees from as drawn", rigging.tilt_deg).c_str(),
                 most_n, most_n / gravity_m_per_s2));
      if (static_cast<int>(copies.size()) > kit_.options.rigging.points)
        flow_.paragraph(
            format("From %d points it would hang askew or not in balance, so %d are planned.",
                   kit_.options.rigging.points, static_cast<int>(copies.size())));
      draw_rigging(flow_, kit_.design, rigging, kit_.options.rigging);
      if (rigging.load.worst_joint >= 0) {
        const Joint& worst = kit_.design.joints[static_cast<std::size_t>(rigging.load.worst_joint)];
        flow_.paragraph(
            format(
                "The most loaded glue line is that between panels %d and %d: %.3f N for each mm. "
                "Glue taken as holding %.2g N/mm (",
                worst.panels[0] + 1, worst.panels[1] + 1,
                kit_.options.glue.strength_n_per_mm / rigging.load.reserve,
                kit_.options.glue.strength_n_per_mm) +
            kit_.options.glue_source +
            format(
                rigging.load.reserve < 100 ? "), that is a reserve of %.1f; it sags "
                                           : "), that is a reserve of more than %.0f; it sags ",
                rigging.load.reserve < 100 ? std::floor(10 * rigging.load.reserve) / 10 : 100.0) +
            (rigging.load.deflection_mm < 0.1
                 ? std::string("less than 0.1 mm.")
                 : format("about %.1f mm.", rigging.load.deflection_mm)) +
            (rigging.load.reserve < 10 ? " Less than 10: back those joints, or take more points."
                                       : ""));
      }
      flow_.paragraph(
          format("Practice over people asks for 8 to 10 times the load at rest (from "
                 "memory): at 10 times, points, ropes and fittings for %.0f N each, "
                 "and a second, independent suspension. ",
                 10 * most_n) +
              "Never tie to a tab or an edge of board alone. This is no load calculation.",
          page_ink);
    } else {
      draw_rigging(flow_, kit_.design, rigging, kit_.options.rigging);
    }
  }

  void draw_standing() {
    flow_.heading("Standing");
    if (plan_.drawn.tip_deg > 0)
      flow_.paragraph(
          format("Standing as drawn, on %d points, it tips beyond %.1f degrees of lean.",
                 plan_.drawn.feet, plan_.drawn.tip_deg));
    else
      flow_.paragraph("As drawn it stands on a point or an edge: it needs a cradle or a rope.");
    if (plan_.best.tip_deg > plan_.drawn.tip_deg + 0.05)
      flow_.paragraph(format(
          "Turned so that another axis stands upright, on %d points, it tips only beyond %.1f "
          "degrees.",
          plan_.best.feet, plan_.best.tip_deg));
    flow_.paragraph(
        "Block or rope it off all the same, and keep people from leaning on it; stacked board "
        "seldom "
        "lies level on a floor.");
  }

  void draw_afterwards() {
    flow_.heading("Afterwards");
    double pile = 0;
    for (const Orbit& orbit : kit_.design.orbits)
      pile += static_cast<double>(orbit.copies.size()) * kit_.design.thickness_mm;
    flow_.point(std::string("Taking apart: backwards through the guide. ") +
                (has_tabs_ ? "Slit each glued tab along its fold"
                           : "Slit the glue along both walls of each slot") +
                " with a short blade, away from the hand; two people hold what comes loose, from a "
                "platform, never from a ladder.");
    flow_.point(
        format("Storing flat: the panels make a pile of %.0f mm, %.0f \u00d7 %.0f mm. %sumbers up, "
               "%sdry, with a board on top.",
               pile, kit_.purchase.parts.front().cutting.blank_mm.x(),
               kit_.purchase.parts.front().cutting.blank_mm.y(),
               has_tabs_ ? "Tabs folded flat, n" : "N", has_modules_ ? "bundled by module, " : ""));
    flow_.point(
        has_tabs_
            ? "A torn tab: cut a strip of the same board 40 mm wide and as long as the fold, score "
              "it along the middle, fold it to the tab's angle, glue it over the fold line on the "
              "inside, clamp until dry. The spare parts are for worse."
            : "A torn slot: glue a strip of the same board 40 mm wide over the tear, beside the "
              "slot "
              "and clear of the panel in it; clamp until dry. The spare parts are for worse.");
  }

  const EventSubject& kit_;
  const EventPlan& plan_;
  const ScheduleOptions& stations_;
  bool has_tabs_, has_modules_;
  PageFlow flow_;
};

}  // namespace

std::vector<Page> make_event_pages(const EventSubject& subject, const EventPlan& plan,
                                   const Vec2& paper_mm) {
  return DayPages(subject, plan, paper_mm).draw();
}

}  // namespace sixtyfold
