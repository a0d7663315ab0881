#include "search/keep/pool.h"

#include <set>

namespace sixtyfold {

void CurveRow::exchange(State& state) {
  state.exchange(evaluated);
  state.exchange(feasible);
  state.exchange(coverage);
  state.exchange(qd_score);
  state.exchange(best);
  state.exchange(hypervolume);
}

void Tally::exchange(State& state) {
  for (std::uint64_t& count : by_status) state.exchange(count);
  state.exchange(out_of_bounds);
  state.exchange(nearest);
  state.exchange(evaluated);
  state.exchange(feasible);
}

void Tally::add(const Tally& other) {
  for (std::size_t i = 0; i < by_status.size(); ++i) by_status[i] += other.by_status[i];
  out_of_bounds += other.out_of_bounds;
  evaluated += other.evaluated;
  feasible += other.feasible;
  if (!other.nearest.point.empty() &&
      (nearest.point.empty() || other.nearest.outcome.violation < nearest.outcome.violation))
    nearest = other.nearest;
}

void Pool::exchange(State& state) {
  state.exchange(finds);
  state.exchange(movable);
  state.exchange(curve);
  state.exchange(evaluated_by_branch);
  state.exchange(found_by_branch);
  state.exchange(tally);
  state.exchange(seed);
}

std::vector<std::pair<const Find*, bool>> list_finds(const std::vector<Pool>& pools) {
  std::vector<std::pair<const Find*, bool>> listed;
  std::set<std::pair<int, UnitPoint>> seen;
  for (const bool rigid : {true, false})
    for (const Pool& pool : pools)
      for (const Find& find : rigid ? pool.finds : pool.movable)
        if (seen.emplace(find.branch, find.point).second) listed.emplace_back(&find, rigid);
  return listed;
}

}  // namespace sixtyfold
