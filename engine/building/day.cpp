#include "engine/building/day.h"

#include <algorithm>
#include <cmath>

#include "engine/building/day_plan.h"
#include "engine/building/handling.h"
#include "engine/building/purchase.h"
#include "engine/part/scaled_pattern.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

constexpr double door_height_mm = 2000;

ScheduleOptions make_schedule_options(const Limits& limits) {
  ScheduleOptions options;
  options.people = limits.people;
  options.saws = limits.saws;
  return options;
}

double measure_hours(const Design& design, const Finished& finished, const AssemblyPlan& plan) {
  PurchaseOptions ordering;
  ordering.sheet = make_sheet(design.limits);
  ordering.cutting = make_cutting_options(design.limits, design.thickness_mm);
  const Purchase purchase = make_purchase(design, finished, ordering);
  const EventWork work = measure_work(design, finished, plan, purchase, ordering.cutting);
  return make_day_plan(work, make_schedule_options(design.limits), DayOptions{},
                       work.tabs_per_part > 0, plan.chosen.panels > 1)
             .minutes /
         60;
}

}  // namespace

void Day::put_into(Score& score) const {
  score.hours = hours;
  score.module_opening_mm = module_opening_mm;
  score.closure_mm = closure_mm;
}

Day measure_day(const Design& design, const Finished& finished, const AssemblyPlan& plan) {
  Day day;
  day.hours = measure_hours(design, finished, plan);
  day.module_opening_mm = measure_passage(design, plan.chosen.modules.front(), door_height_mm)[0];
  ClosureOptions folds_only;
  folds_only.cut_mm = 0;
  // Where small errors were to grow to the size of the whole, the model has left its range.
  day.closure_mm = std::min(measure_closure(design, plan, folds_only).last.most_mm,
                            2 * measure_enclosing_radius(design));
  return day;
}

void measure_building(Design& design, int most_hard_steps, bool with_day) {
  Score& score = design.score;
  score.hard_steps = score.spring_steps = -1;
  score.hours = score.module_opening_mm = score.closure_mm = -1;
  if (design.joints.empty() || score.collisions > 0) return;
  const Finished finished = make_finished(design, make_flat_options(design));
  if (finished.leaves_nothing()) return;
  AssemblyOrder order = find_assembly_order(design, finished, {.most_hard_steps = most_hard_steps});
  order.put_into(score);
  if (!with_day || score.hard_steps > most_hard_steps) return;
  measure_day(design, finished, plan_assembly(design, finished, std::move(order))).put_into(score);
}

bool limits_day(const Limits& limits) {
  return std::isfinite(limits.max_hours) || std::isfinite(limits.max_module_opening_mm) ||
         std::isfinite(limits.max_closure_mm);
}

std::vector<std::string> find_building_faults(const Design& design) {
  const Score& score = design.score;
  const Limits& limits = design.limits;
  std::vector<std::string> faults;
  if (!(score.hard_steps <= limits.max_hard_steps))
    faults.push_back(format("%s of its assembly have no way in; at most %d are allowed",
                            count_of(score.hard_steps, "step", "steps").c_str(),
                            limits.max_hard_steps));
  if (!(score.hours <= limits.max_hours))
    faults.push_back(format("the day takes %.1f hours with %s and %s; at most %.1f are allowed",
                            score.hours, count_of(limits.people, "person", "people").c_str(),
                            count_of(limits.saws, "saw", "saws").c_str(), limits.max_hours));
  if (!(score.module_opening_mm <= limits.max_module_opening_mm))
    faults.push_back(format("a module needs a door %.0f mm wide; at most %.0f mm are allowed",
                            score.module_opening_mm, limits.max_module_opening_mm));
  if (!(score.closure_mm <= limits.max_closure_mm))
    faults.push_back(
        format("the last joint misses by up to %.1f mm when folds are off by up to a "
               "degree; at most %.1f mm are allowed",
               score.closure_mm, limits.max_closure_mm));
  return faults;
}

double find_least_hours(int panels, int joints, const Limits& limits) {
  const ScheduleOptions options = make_schedule_options(limits);
  // Half of a crew holds while the other half glues (schedule.cpp).
  const auto hands = [&](int crew) {
    crew = std::min(crew, options.people);
    return crew / std::max(1.0, crew / 2.0);
  };
  const double joint_min =
      options.joint_min * std::min(hands(options.module_people), hands(options.assembly_people));
  return (joints * joint_min + panels * options.fold_min) / (60.0 * options.people);
}

}  // namespace sixtyfold
