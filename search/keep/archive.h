#pragma once
// Quality diversity: a grid over a few measures that keeps the best trial of each cell
// (Mouret and Clune 2015).

#include <span>
#include <unordered_map>
#include <vector>

#include "search/space/outcome.h"

namespace sixtyfold {

/// What inserting did.
enum class Insertion { rejected, new_cell, improved };

/// Promises:
/// 1. each cell holds the trial of highest quality among the feasible ones inserted, the first of
///    equals; so after inserting in index order the content does not depend on threads;
/// 2. cells are listed in the order in which they were first filled;
/// 3. nothing infeasible and nothing that is not finite ever enters.
class GridArchive {
 public:
  /// Cells along each measure; each count at least 1, the product below 2^31.
  explicit GridArchive(std::vector<int> cells_per_measure);

  Insertion insert(const Trial& trial);
  /// By how much inserting would raise the sum of qualities; 0 if it would be rejected.
  double measure_gain(const Trial& trial) const;
  /// The trial in the cell of these measures; null when it is empty.
  const Trial* find_elite(std::span<const double> measures) const;
  /// Number of the cell of these measures; values outside [0, 1] go to the border cells.
  int find_cell(std::span<const double> measures) const;

  const std::vector<Trial>& elites() const { return elites_; }
  int cell_count() const { return cell_count_; }
  /// Filled cells / cells.
  double coverage() const;
  void exchange(State& state);

 private:
  std::vector<int> cells_per_measure_;
  int cell_count_ = 1;
  std::vector<Trial> elites_;
  std::unordered_map<int, int> elite_of_cell_;
};

}  // namespace sixtyfold
