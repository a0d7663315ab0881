#include "search/keep/archive.h"

#include <algorithm>
#include <cassert>

namespace sixtyfold {

GridArchive::GridArchive(std::vector<int> cells_per_measure)
    : cells_per_measure_(std::move(cells_per_measure)) {
  for (const int cells : cells_per_measure_) {
    assert(cells >= 1);
    cell_count_ *= cells;
  }
}

int GridArchive::find_cell(std::span<const double> measures) const {
  assert(measures.size() == cells_per_measure_.size());
  int cell = 0;
  for (std::size_t k = 0; k < measures.size(); ++k) {
    const int cells = cells_per_measure_[k];
    const double share = std::clamp(measures[k], 0.0, 1.0);
    cell = cell * cells + std::min(cells - 1, static_cast<int>(share * cells));
  }
  return cell;
}

const Trial* GridArchive::find_elite(std::span<const double> measures) const {
  const auto entry = elite_of_cell_.find(find_cell(measures));
  return entry == elite_of_cell_.end() ? nullptr
                                       : &elites_[static_cast<std::size_t>(entry->second)];
}

Insertion GridArchive::insert(const Trial& trial) {
  if (!is_sound(trial.outcome) || !trial.outcome.feasible()) return Insertion::rejected;
  const auto [entry, is_new] = elite_of_cell_.try_emplace(find_cell(trial.outcome.measures),
                                                          static_cast<int>(elites_.size()));
  if (is_new) {
    elites_.push_back(trial);
    return Insertion::new_cell;
  }
  Trial& elite = elites_[static_cast<std::size_t>(entry->second)];
  if (!(trial.outcome.quality > elite.outcome.quality)) return Insertion::rejected;
  elite = trial;
  return Insertion::improved;
}

double GridArchive::measure_gain(const Trial& trial) const {
  if (!is_sound(trial.outcome) || !trial.outcome.feasible()) return 0;
  const Trial* const elite = find_elite(trial.outcome.measures);
  return std::max(0.0, trial.outcome.quality - (elite ? elite->outcome.quality : 0));
}

double GridArchive::coverage() const {
  return static_cast<double>(elites_.size()) / static_cast<double>(cell_count_);
}

void GridArchive::exchange(State& state) {
  state.exchange(elites_);
  if (!state.reading()) return;
  elite_of_cell_.clear();
  for (std::size_t i = 0; i < elites_.size(); ++i)
    elite_of_cell_[find_cell(elites_[i].outcome.measures)] = static_cast<int>(i);
}

}  // namespace sixtyfold
