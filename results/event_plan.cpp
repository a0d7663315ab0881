#include "results/event_plan.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <queue>

#include "engine/stock/sheet_fit.h"
#include "results/build_guide.h"
#include "results/kit_template.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::string fixed(double v, int digits) {
  char text[40];
  std::snprintf(text, sizeof text, "%.*f", digits, v);
  return text;
}

std::string hours(double minutes) {
  const int whole = static_cast<int>(std::lround(minutes));
  return std::to_string(whole / 60) + " h " + (whole % 60 < 10 ? "0" : "") + std::to_string(whole % 60) + " min";
}

/// Half-width of the support polygon seen from the foot of the centre of mass, over its height.
double measure_tip_angle(const Design& design) {
  double lowest = 1e300;
  std::vector<Vec3> points;
  for (int copy = 0; copy < count_copies(design); ++copy) {
    const Frame frame = make_copy_frame(design, copy);
    for (const Vec2& p : design.orbits[at(find_copy(design, copy).orbit)].panel.outline_mm) {
      points.push_back(frame.to_space(p));
      lowest = std::min(lowest, points.back().z());
    }
  }
  Polygon feet;
  for (const Vec3& p : points)
    if (p.z() - lowest < 2) feet.emplace_back(p.x(), p.y());  // within 2 mm: the floor finds them
  if (feet.size() < 3) return 0;
  const Polygon hull = make_convex_hull(feet);
  // The group fixes the centre of mass at the centre, except for Cn and Cs: then it is on the axis.
  if (hull.size() < 3 || !contains(hull, Vec2::Zero())) return 0;
  return to_degrees(std::atan2(distance_to_boundary(hull, Vec2::Zero()), -lowest));
}

}  // namespace

std::string EventOptions::find_fault() const {
  if (!(1 <= people && people <= 10000)) return "people is " + std::to_string(people) + ", but must be from 1 to 10000";
  if (!(1 <= saws && saws <= 1000)) return "saws is " + std::to_string(saws) + ", but must be from 1 to 1000";
  for (const double v : {stack_height_mm, trace_min, feed_mm_per_min, fold_min, joint_min})
    if (!(0 < v && v < 1e5)) return "a time or speed of the event is " + fixed(v, 2) + ", but must be above 0";
  if (!(0 <= dry_min && dry_min < 1e4)) return "dry_min is " + fixed(dry_min, 1) + ", but must be from 0 to 10000";
  if (!(0 <= spare_share && spare_share <= 1)) return "spare_share is " + fixed(spare_share, 2) + ", but must be from 0 to 1";
  if (!(1 <= hanging_points && hanging_points <= 100)) return "hanging_points is " + std::to_string(hanging_points) + ", but must be from 1 to 100";
  return "";
}

std::string name_of(Station station) {
  switch (station) {
    case Station::trace: return "trace";
    case Station::cut: return "cut";
    case Station::fold: return "fold";
    case Station::module: return "modules";
    case Station::assembly: return "assembly";
    case Station::count_: break;
  }
  return "";
}

EventWork measure_work(const Design& design, const Finished& finished, const AssemblyPlan& plan, const EventOptions& options) {
  EventWork work;
  work.parts = count_copies(design);
  work.spares = static_cast<int>(std::ceil(options.spare_share * work.parts));
  work.modules = static_cast<int>(plan.steps.size());
  work.parts_per_stack = std::max(1, static_cast<int>(options.stack_height_mm / design.thickness_mm + 1e-9));
  const FlatPattern& pattern = finished.parts[0].pattern;
  work.cut_length_mm = measure_perimeter(pattern.outline_mm);
  for (const Polygon& hole : pattern.holes_mm) work.cut_length_mm += measure_perimeter(hole);
  work.tabs_per_part = static_cast<int>(pattern.tabs.size());
  work.joints_in_module = plan.chosen.joints;
  for (const AssemblyStep& step : plan.steps) work.joints_at_step.push_back(static_cast<int>(step.joints.size()));
  return work;
}

Schedule simulate(const EventWork& work, const EventOptions& options) {
  Schedule schedule;
  struct Task {
    double end;
    int number;  // ties end in the order they began
    Station station;
    int people, parts;
    bool dries;
    bool operator>(const Task& other) const { return end != other.end ? end > other.end : number > other.number; }
  };
  std::priority_queue<Task, std::vector<Task>, std::greater<>> running;
  const int total = work.parts + work.spares;
  int to_trace = total, traced = 0, cut_parts = 0, folded = 0, modules_begun = 0, modules_dry = 0, step = 0;
  int people = options.people, saws = options.saws, number = 0;
  const int panels = std::max(1, work.parts / std::max(1, work.modules));
  bool assembling = false;
  double now = 0, saw_busy = 0, people_busy = 0, last_cut = 0;
  std::vector<int> stacks;  // traced, waiting for a saw
  const auto begin = [&](Station station, int crew, double minutes, int parts) {
    auto& span = schedule.stations[static_cast<int>(station)];
    if (span.work_min == 0) span.from = now;
    span.to = std::max(span.to, now + minutes);
    span.work_min += crew * minutes;
    people -= crew;
    people_busy += crew * minutes;
    running.push({now + minutes, number++, station, crew, parts, false});
    int same = 0;
    auto copy = running;
    for (; !copy.empty(); copy.pop())
      if (copy.top().station == station && !copy.top().dries) same += copy.top().people;
    span.most_people = std::max(span.most_people, same);
  };
  while (true) {
    // The latest station first, so that work flows out rather than piling up.
    bool began = true;
    while (began) {
      began = false;
      const int assembly_crew = std::min(options.assembly_people, options.people);
      const int module_crew = std::min(options.module_people, options.people);
      if (!assembling && step < work.modules && modules_dry > 0 && people >= assembly_crew) {
        const int joints = std::max(1, work.joints_at_step.empty() ? 1 : work.joints_at_step[at(step)]);
        --modules_dry;
        assembling = began = true;
        // Half the crew holds while the other half glues.
        begin(Station::assembly, assembly_crew, options.joint_min * joints / std::max(1.0, assembly_crew / 2.0), 0);
      } else if (modules_begun < work.modules && folded >= panels && people >= module_crew) {
        folded -= panels;
        ++modules_begun;
        began = true;
        if (work.joints_in_module > 0)
          begin(Station::module, module_crew, options.joint_min * work.joints_in_module / std::max(1.0, module_crew / 2.0), 1);
        else
          ++modules_dry;
      } else if (cut_parts > 0 && people >= 1) {
        --cut_parts;
        began = true;
        begin(Station::fold, 1, options.fold_min * std::max(1, work.tabs_per_part), 1);
      } else if (!stacks.empty() && saws > 0 && people >= 1) {
        const double minutes = options.stack_min + work.cut_length_mm / options.feed_mm_per_min;
        --saws;
        saw_busy += minutes;
        last_cut = std::max(last_cut, now + minutes);
        const int parts = stacks.front();
        stacks.erase(stacks.begin());
        began = true;
        begin(Station::cut, 1, minutes, parts);
      } else if (to_trace > 0 && people >= 1 && static_cast<int>(stacks.size()) + traced < 2 * options.saws) {
        const int parts = std::min(to_trace, work.parts_per_stack);
        to_trace -= parts;
        ++traced;
        began = true;
        begin(Station::trace, 1, options.trace_min, parts);
      }
    }
    if (running.empty()) break;
    const Task task = running.top();
    running.pop();
    now = task.end;
    if (task.dries) {
      ++modules_dry;
      continue;
    }
    people += task.people;
    switch (task.station) {
      case Station::trace:
        --traced;
        stacks.push_back(task.parts);
        break;
      case Station::cut:
        ++saws;
        cut_parts += task.parts;
        break;
      case Station::fold: ++folded; break;
      case Station::module:
        running.push({now + options.dry_min, number++, Station::module, 0, 0, true});
        break;
      case Station::assembly:
        assembling = false;
        ++step;
        schedule.minutes = now;
        break;
      case Station::count_: break;
    }
  }
  schedule.saw_use = last_cut > 0 ? saw_busy / (options.saws * last_cut) : 0;
  schedule.people_use = schedule.minutes > 0 ? people_busy / (options.people * std::max(schedule.minutes, now)) : 0;
  return schedule;
}

Handling measure_handling(const Design& design, const AssemblyPlan& plan, const EventOptions& options) {
  Handling handling;
  for (const Orbit& orbit : design.orbits) {
    double area = measure_area(orbit.panel.outline_mm);
    for (const Polygon& hole : orbit.panel.holes_mm) area -= measure_area(hole);
    handling.mass_kg += area * 1e-6 * design.limits.mass_kg_per_m2 * static_cast<double>(orbit.copies.size());
    for (const Vec2& p : orbit.panel.outline_mm)
      handling.diameter_mm = std::max(handling.diameter_mm, 2 * orbit.panel.frame.to_space(p).norm());
  }
  handling.load_per_point_n = handling.mass_kg * 9.80665 / options.hanging_points;
  // A module's box along its own principal directions: how it is carried.
  std::vector<Vec3> points;
  for (const int copy : plan.chosen.modules.front()) {
    const Frame frame = make_copy_frame(design, copy);
    for (const Vec2& p : design.orbits[at(find_copy(design, copy).orbit)].panel.outline_mm) points.push_back(frame.to_space(p));
  }
  Vec3 middle = Vec3::Zero();
  for (const Vec3& p : points) middle += p / static_cast<double>(points.size());
  const Vec3 outward = middle.norm() > 1e-6 ? Vec3(middle.normalized()) : Vec3(Vec3::UnitZ());
  const Vec3 side = outward.unitOrthogonal(), other = outward.cross(side);
  double best = 1e300;
  for (int k = 0; k < 18; ++k) {
    const double a = pi * k / 36;
    const Vec3 axes[3] = {outward, std::cos(a) * side + std::sin(a) * other, std::cos(a) * other - std::sin(a) * side};
    Vec3 size;
    for (int i = 0; i < 3; ++i) {
      double low = 1e300, high = -1e300;
      for (const Vec3& p : points) low = std::min(low, axes[i].dot(p)), high = std::max(high, axes[i].dot(p));
      size[i] = high - low;
    }
    if (size.prod() < best) {
      best = size.prod();
      std::sort(size.data(), size.data() + 3);
      handling.module_size_mm = size;
    }
  }
  const double narrow = std::min(options.door_width_mm, options.door_height_mm), wide = std::max(options.door_width_mm, options.door_height_mm);
  handling.module_passes_door = handling.module_size_mm[0] <= narrow && handling.module_size_mm[1] <= wide;
  handling.whole_passes_door = handling.diameter_mm <= narrow;
  handling.tip_angle_deg = measure_tip_angle(design);
  return handling;
}

std::vector<Page> make_event_pages(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                                   const EventOptions& options) {
  const EventWork work = measure_work(design, finished, plan, options);
  const Schedule schedule = simulate(work, options);
  EventOptions more_saws = options, more_people = options;
  more_saws.saws += 1;
  more_people.people += 5;
  const double with_saw = simulate(work, more_saws).minutes, with_people = simulate(work, more_people).minutes;
  const Handling handling = measure_handling(design, plan, options);
  const FlatPattern& pattern = finished.parts[0].pattern;
  const Sheet sheet = make_sheet(design.limits);
  const SheetFit fit = measure_sheet_fit(make_convex_hull(pattern.outline_mm), sheet);
  const int total = work.parts + work.spares, sheets = measure_sheets(total, fit.parts_per_sheet);
  double tab_area = 0;
  for (const Tab& tab : pattern.tabs) tab_area += measure_area(tab.outline_mm);

  const Vec2 paper{210, 297};
  const double margin = 16, width = paper.x() - 2 * margin;
  std::vector<Page> pages;
  pages.emplace_back(paper.x(), paper.y());
  double y = margin;
  const PageText plain{3.7, TextAt::start, "#22262e", false, 0}, small{3, TextAt::start, "#666666", false, 0};
  const auto room = [&](double height) {
    if (y + height < paper.y() - 16) return;
    pages.emplace_back(paper.x(), paper.y());
    y = margin;
  };
  const auto heading = [&](const std::string& text) {
    room(30);
    y += 9;
    pages.back().add_text({margin, y}, text, {5.4, TextAt::start, "#22262e", true, 0});
    y += 2.5;
  };
  const auto paragraph = [&](const std::string& text, const char* colour = "#22262e") {
    room(8 + 5 * std::ceil(static_cast<double>(text.size()) / 95));
    PageText how = plain;
    how.colour = colour;
    y = pages.back().add_paragraph({margin, y}, text, width, how) + 1.2;
  };
  pages.back().add_text({margin, y + 6}, (design.name.empty() ? "Construction" : design.name) + ": the day", {8, TextAt::start, "#22262e", true, 0});
  y += 9;
  paragraph(std::to_string(options.people) + " people and " + std::to_string(options.saws) + (options.saws == 1 ? " saw: " : " saws: ") +
            hours(schedule.minutes) + " from the first stroke to the last joint, drying included, breaks not.");
  // Bars of the stations on one time axis.
  heading("Stations");
  const double left = margin + 26, long_mm = width - 60;
  const double scale = long_mm / std::max(1.0, schedule.minutes);
  for (int s = 0; s < static_cast<int>(Station::count_); ++s) {
    const auto& span = schedule.stations[s];
    y += 8;
    pages.back().add_text({margin, y}, name_of(static_cast<Station>(s)), plain);
    pages.back().add_polygon({{left + scale * span.from, y - 4}, {left + scale * span.to, y - 4}, {left + scale * span.to, y + 0.6}, {left + scale * span.from, y + 0.6}},
                             {"#22262e", 0.25, s == 1 ? "#f0a63a" : "#b3d6c8", ""});
    pages.back().add_text({left + long_mm + 3, y}, "up to " + std::to_string(span.most_people) + (span.most_people == 1 ? " person" : " people"), small);
  }
  y += 3;
  const double axis_step = schedule.minutes > 360 ? 60 : 30;
  for (double t = 0; t <= schedule.minutes + 1e-9; t += axis_step) {
    pages.back().add_line({left + scale * t, y}, {left + scale * t, y + 1.5}, {"#22262e", 0.2, "", ""});
    pages.back().add_text({left + scale * t, y + 4.6}, fixed(t / 60, axis_step < 60 ? 1 : 0) + " h", {2.6, TextAt::middle, "#666666", false, 0});
  }
  y += 7;
  const double gain_saw = schedule.minutes - with_saw, gain_people = schedule.minutes - with_people;
  const double saw_minutes = schedule.stations[1].to - schedule.stations[1].from;
  std::string narrow;
  if (gain_saw > std::max(5.0, gain_people)) narrow = "The saws are the bottleneck";
  else if (gain_people > 5) narrow = "People are the bottleneck";
  else narrow = "Neither saws nor people hold it up: the modules are joined one after another, and glue must dry";
  paragraph(narrow + ": the saws are busy " + fixed(100 * schedule.saw_use, 0) + " % of the " + hours(saw_minutes) +
            " of cutting, the people " + fixed(100 * schedule.people_use, 0) + " % of the day. One more saw would save " + hours(std::max(0.0, gain_saw)) +
            ", five more people " + hours(std::max(0.0, gain_people)) + ".");
  paragraph("Times assumed: trace a stack " + fixed(options.trace_min, 0) + " min, cut " + fixed(options.feed_mm_per_min, 0) +
            " mm of line a minute and " + fixed(options.stack_min, 0) + " min a stack, fold a tab " + fixed(options.fold_min, 1) + " min, a joint " +
            fixed(options.joint_min, 1) + " min, drying " + fixed(options.dry_min, 0) + " min. They are from memory: time one of each and print the plan again.");
  heading("To have ready");
  paragraph(std::to_string(total) + " parts to cut: " + std::to_string(work.parts) + " and " + std::to_string(work.spares) + " spare; stacks of " +
            std::to_string(work.parts_per_stack) + " (" + fixed(options.stack_height_mm, 0) + " mm high: common practice, no published source), " +
            std::to_string((total + work.parts_per_stack - 1) / work.parts_per_stack) + " stacks, " + fixed(work.cut_length_mm / 1000, 2) + " m of cut each.");
  paragraph("Shopping: " + (sheets > 0 ? std::to_string(sheets) + " sheets of " + fixed(sheet.short_mm, 0) + " x " + fixed(sheet.long_mm, 0) + " x " +
                                            fixed(design.thickness_mm, 1) + " mm (" + std::to_string(fit.parts_per_sheet) +
                                            " parts a sheet in simple rows; the cutting plan may do better)"
                                       : std::string("a larger sheet than ") + fixed(sheet.short_mm, 0) + " x " + fixed(sheet.long_mm, 0) + " mm, on which the part does not fit") +
            "; wood glue for " + fixed(tab_area * 1e-6 * work.parts, 2) + " m\u00b2 of tabs, about " +
            fixed(tab_area * 1e-6 * work.parts * 150, 0) + " g at 150 g/m\u00b2 (from memory); " + std::to_string(std::max(8, 4 * work.tabs_per_part)) +
            " clips or clamps for each team; knives, mats, steel rules, pencils, an awl; one printed template for each tracing place.");
  heading("Mass, carrying, hanging, standing");
  paragraph("Mass " + fixed(handling.mass_kg, 1) + " kg, diameter " + fixed(handling.diameter_mm / 1000, 2) + " m. Hung evenly from " +
            std::to_string(options.hanging_points) + " points each carries " + fixed(handling.load_per_point_n, 0) +
            " N at rest. Entertainment practice asks for 8 to 10 times that strength over people (from memory): at 10 times, points and ropes for " +
            fixed(10 * handling.load_per_point_n, 0) + " N each. This is no load calculation.");
  paragraph("A module is " + fixed(handling.module_size_mm[0], 0) + " x " + fixed(handling.module_size_mm[1], 0) + " x " + fixed(handling.module_size_mm[2], 0) +
            " mm and " + (handling.module_passes_door ? "passes" : "does not pass") + " a door of " + fixed(options.door_width_mm, 0) + " x " +
            fixed(options.door_height_mm, 0) + " mm. The whole " +
            (handling.whole_passes_door ? "passes it too." : "does not: join the modules in the room where it will be."));
  paragraph(handling.tip_angle_deg > 0 ? "Standing as it is drawn it tips beyond " + fixed(handling.tip_angle_deg, 1) + " degrees of lean. Block it, and keep people from leaning on it."
                                       : "As it is drawn it stands on a point or an edge: it needs a cradle or a rope.");
  heading("Afterwards");
  paragraph("Taking apart: cut the glued tabs with a knife along the folds of the last step first, backwards through the guide. Panels then lie flat: a pile of " +
            fixed(work.parts * design.thickness_mm, 0) + " mm. A torn tab: glue a strip of the same board, 40 mm wide, folded to the same angle, over the fold line on the inside; clamp until dry.");
  heading("Cautions");
  for (const std::string& caution : find_build_cautions()) paragraph(caution, "#8a1c14");
  for (std::size_t k = 0; k < pages.size(); ++k)
    pages[k].add_text({paper.x() - margin, paper.y() - 8}, "page " + std::to_string(k + 1) + " of " + std::to_string(pages.size()), {2.8, TextAt::end, "#666666", false, 0});
  return pages;
}

}  // namespace sixtyfold
