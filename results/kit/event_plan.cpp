#include "results/kit/event_plan.h"

#include <algorithm>
#include <cmath>

#include "engine/allowed.h"
#include "engine/building/joint_sides.h"
#include "engine/part/part_joints.h"
#include "engine/text.h"

namespace sixtyfold {

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

}  // namespace sixtyfold
