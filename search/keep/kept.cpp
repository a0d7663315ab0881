#include "search/keep/kept.h"

#include <algorithm>

namespace sixtyfold {
namespace {

constexpr std::size_t most_rows = 512;

/// Keeps all limits but is not rigid: such an outcome alone has measures without being feasible.
bool is_movable(const Outcome& outcome) { return !outcome.feasible() && !outcome.measures.empty(); }

}  // namespace

Kept::Kept(const SearchTask& task) : seed_(task.seed), shelves_(task.branches.size()) {}

void Kept::count(const Scored& scored) {
  const auto& [branch, trial, status] = scored;
  const Outcome& outcome = trial.outcome;
  Shelf& shelf = shelves_[static_cast<std::size_t>(branch)];
  ++shelf.evaluated;
  shelf.found += outcome.feasible();
  ++tally_.evaluated;
  ++tally_.by_status[static_cast<std::size_t>(status)];
  tally_.feasible += outcome.feasible();
  tally_.out_of_bounds += status == Status::ok && !outcome.feasible();
  if (!outcome.feasible() && status != Status::outdone &&
      (tally_.nearest.point.empty() || outcome.violation < tally_.nearest.outcome.violation))
    tally_.nearest = {branch, trial.point, outcome};
}

double Kept::take(const Scored& scored) {
  count(scored);
  Shelf& shelf = shelves_[static_cast<std::size_t>(scored.branch)];
  if (is_movable(scored.trial.outcome)) {
    Trial taken = scored.trial;
    taken.outcome.violation = 0;
    shelf.movable.insert(taken);
    return 0;
  }
  const double gain = shelf.archive.measure_gain(scored.trial);
  shelf.archive.insert(scored.trial);
  return gain;
}

BranchArchives Kept::archives() const {
  BranchArchives archives;
  for (const Shelf& shelf : shelves_) archives.push_back(&shelf.archive);
  return archives;
}

void Kept::add_curve_row(double hypervolume) {
  CurveRow row;
  row.evaluated = tally_.evaluated;
  row.feasible = tally_.feasible;
  row.hypervolume = hypervolume;
  double cells = 0;
  for (const Shelf& shelf : shelves_) {
    row.coverage += static_cast<double>(shelf.archive.elites().size());
    cells += shelf.archive.cell_count();
    for (const Trial& elite : shelf.archive.elites()) {
      row.qd_score += elite.outcome.quality;
      row.best = std::max(row.best, elite.outcome.quality);
    }
  }
  row.coverage /= cells;
  curve_.push_back(row);
  if (curve_.size() <= most_rows) return;
  // The row between the nearest neighbours goes, so that a long run stays small and is told of from
  // its beginning on.
  std::size_t least = 1;
  const auto gap_at = [&](std::size_t i) {
    return curve_[i + 1].evaluated - curve_[i - 1].evaluated;
  };
  for (std::size_t i = 2; i + 1 < curve_.size(); ++i)
    if (gap_at(i) < gap_at(least)) least = i;
  curve_.erase(curve_.begin() + static_cast<std::ptrdiff_t>(least));
}

Pool Kept::make_pool() const {
  Pool pool;
  for (std::size_t b = 0; b < shelves_.size(); ++b) {
    for (const Trial& elite : shelves_[b].archive.elites())
      pool.finds.push_back({static_cast<int>(b), elite.point, elite.outcome});
    for (const Trial& elite : shelves_[b].movable.elites())
      pool.movable.push_back({static_cast<int>(b), elite.point, elite.outcome});
    pool.evaluated_by_branch.push_back(shelves_[b].evaluated);
    pool.found_by_branch.push_back(shelves_[b].found);
  }
  pool.curve = curve_;
  pool.tally = tally_;
  pool.seed = seed_;
  return pool;
}

void Kept::Shelf::exchange(State& state) {
  state.exchange(archive);
  state.exchange(movable);
  state.exchange(evaluated);
  state.exchange(found);
}

void Kept::exchange(State& state) {
  for (Shelf& shelf : shelves_) state.exchange(shelf);
  state.exchange(curve_);
  state.exchange(tally_);
}

}  // namespace sixtyfold
