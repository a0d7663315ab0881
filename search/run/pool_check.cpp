#include "search/run/pool_check.h"

#include <algorithm>
#include <cmath>

namespace sixtyfold {

namespace {

bool is_in_unit(double value) { return 0 <= value && value <= 1; }

bool is_of_task(const SearchTask& task, const Find& find) {
  if (!(0 <= find.branch && find.branch < static_cast<int>(task.branches.size()))) return false;
  const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
  return find.point.size() == branch.parameters.size() &&
         std::all_of(find.point.begin(), find.point.end(), is_in_unit);
}

bool is_find(const SearchTask& task, const Find& find) {
  const Outcome& outcome = find.outcome;
  return is_of_task(task, find) && is_sound(outcome) && std::isfinite(outcome.quality) &&
         outcome.objectives.size() < 100 && outcome.guides.size() < 100 &&
         outcome.measures.size() == std::tuple_size_v<decltype(measure_place(Score{}))> &&
         std::all_of(outcome.objectives.begin(), outcome.objectives.end(),
                     [](double value) { return std::isfinite(value); });
}

bool is_row(const CurveRow& row) {
  return is_in_unit(row.coverage) && std::isfinite(row.qd_score) && std::isfinite(row.best) &&
         std::isfinite(row.hypervolume) && row.feasible <= row.evaluated;
}

}  // namespace

std::string find_pool_fault(const SearchTask& task, const Pool& pool) {
  for (const auto* finds : {&pool.finds, &pool.movable})
    for (const Find& find : *finds)
      if (!is_find(task, find)) return "holds a find that its own options can not have made";
  if (!std::all_of(pool.curve.begin(), pool.curve.end(), is_row))
    return "holds a curve with values that can not be";
  for (const auto* counts : {&pool.evaluated_by_branch, &pool.found_by_branch})
    if (counts->size() != task.branches.size())
      return "counts other branches than its own options have";
  const Tally& tally = pool.tally;
  if (tally.feasible > tally.evaluated) return "counts more feasible variants than were scored";
  const Find& nearest = tally.nearest;
  if (!nearest.point.empty() && !(is_of_task(task, nearest) && nearest.outcome.violation >= 0))
    return "names a nearest variant that its own options can not have made";
  return "";
}

}  // namespace sixtyfold
