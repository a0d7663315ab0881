#pragma once
// What a stream leaves behind, as plain values.

#include <array>
#include <cstdint>
#include <utility>
#include <vector>

#include "engine/variant/variant.h"
#include "search/space/task.h"

namespace sixtyfold {

/// One row of the run's curves.
struct CurveRow {
  std::uint64_t evaluated = 0, feasible = 0;
  double coverage = 0;     ///< filled cells of all branches' archives
  double qd_score = 0;     ///< sum of the elites' qualities
  double best = 0;         ///< best quality
  double hypervolume = 0;  ///< of the Pareto set; 1: the box worst..best; else 0
  void exchange(State& state);
  bool operator==(const CurveRow&) const = default;
};

/// How many variants each stage turned down, and which came nearest.
struct Tally {
  std::array<std::uint64_t, static_cast<std::size_t>(Status::count_)> by_status{};
  std::uint64_t out_of_bounds = 0;  ///< ok by the limits, turned down by the goals' bounds
  Find nearest;                     ///< least violation of all that are not feasible
  std::uint64_t evaluated = 0, feasible = 0;
  void exchange(State& state);
  void add(const Tally& other);
};

/// All that a stream leaves behind.
struct Pool {
  std::vector<Find> finds;    ///< elites, by branch and cell, then the Pareto sets
  std::vector<Find> movable;  ///< as good, but not rigid: for want of anything better
  std::vector<CurveRow> curve;
  std::vector<std::uint64_t> evaluated_by_branch, found_by_branch;
  Tally tally;
  std::uint64_t seed = 0;  ///< of the task
  void exchange(State& state);
};

/// Finds of all pools, each once, though it may be an elite and lie on a front, and whether it is
/// rigid: first those that are.
std::vector<std::pair<const Find*, bool>> list_finds(const std::vector<Pool>& pools);

}  // namespace sixtyfold
