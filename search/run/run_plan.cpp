#include "search/run/run_plan.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace sixtyfold {

std::vector<std::string> default_symmetries() {
  return {"I", "O", "T", "Ih", "Oh", "Td", "D3", "D4", "D5", "D6", "D7"};
}

std::vector<std::string> all_symmetries() {
  std::vector<std::string> symmetries = {"I", "O", "T", "Ih", "Oh", "Td"};
  for (const char* kind : {"D", "C"})
    for (int n = kind[0] == 'D' ? 2 : 3; n <= 12; ++n)
      symmetries.push_back(kind + std::to_string(n));
  return symmetries;
}

std::string RunPlan::find_fault() const {
  if (choice.symmetries.empty()) return "no symmetry group is given";
  if (!(1 <= streams && streams <= 9999)) return "the number of streams must be 1 to 9999";
  if (!(0 <= shard && shard <= streams))
    return "shard " + std::to_string(shard) + " of " + std::to_string(streams) +
           " does not exist; shards are numbered from 1";
  if (budget == 0 && !(time_limit_s > 0)) return "a run needs a budget of variants or a time limit";
  if (budget > 0 && budget < static_cast<std::uint64_t>(streams))
    return "the budget is smaller than the number of streams";
  if (const std::string fault = limits.find_fault(); !fault.empty()) return fault;
  if (goals.ask_for("cost") && !(limits.sheet_price > 0))
    return "a goal is set on cost, but no price of a sheet is known; give --price, or a material "
           "that has one";
  return goals.find_fault();
}

std::string explain_left_out(const RunPlan& plan) {
  if (plan.limits.joints_by != JointsBy::slot || !plan.choice.planes.empty() ||
      plan.limits.working_strain > 0)
    return "";
  std::string left_out;
  for (const std::string& symbol : plan.choice.symmetries) {
    const std::vector<std::string> planes = find_plane_names(make_point_group(symbol));
    if (std::find(planes.begin(), planes.end(), "upright") == planes.end())
      left_out += (left_out.empty() ? "" : ", ") + symbol;
  }
  if (left_out.empty()) return "";
  return "No search in " + left_out +
         ": straight slots slide along one direction only, and these groups have no main axis that "
         "they turn over without a mirror plane across it, so panels joined by slots alone do not "
         "go "
         "together by straight pushes there. "
         "--joints-by both adds tabs, a material with a working strain lets boards be sprung in, "
         "--plane generic searches all the same.";
}

SearchTask make_task(const RunPlan& plan) {
  if (const std::string fault = plan.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  SearchTask task;
  task.branches = find_branches(plan.choice, plan.limits);
  if (const std::string reason = explain_left_out(plan); task.branches.empty() && !reason.empty())
    throw std::invalid_argument(reason);
  task.limits = plan.limits;
  task.goals = plan.goals;
  // What only a finished design tells is a bound on what is listed.
  const Limits& limits = plan.limits;
  const auto add_bound = [&](const char* name, double high) {
    if (std::isfinite(high))
      task.goals.bounds.push_back(
          {&find_criterion(name), -std::numeric_limits<double>::infinity(), high});
  };
  if (limits.max_hard_steps != std::numeric_limits<int>::max())
    add_bound("hard_steps", limits.max_hard_steps);
  add_bound("hours", limits.max_hours);
  add_bound("module_opening", limits.max_module_opening_mm);
  add_bound("closure", limits.max_closure_mm);
  task.seed = plan.seed;
  task.count = plan.count;
  if (const std::string fault = task.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  return task;
}

}  // namespace sixtyfold
