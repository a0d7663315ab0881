#pragma once
// One stream of a search: branches, their proposers, what they found. A run is one or several
// streams that know nothing of each other; `search/choose/choice.h` makes one ranking of them.

#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "search/run/evaluator.h"
#include "search/run/run_context.h"
#include "search/run/stage_times.h"
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
  std::vector<Find> finds;    ///< elites, by branch and cell, then the Pareto set
  std::vector<Find> movable;  ///< as good, but not rigid: for want of anything better
  std::vector<CurveRow> curve;
  std::vector<std::uint64_t> evaluated_by_branch, found_by_branch;
  Tally tally;
  std::uint64_t seed = 0;  ///< of the task
  void exchange(State& state);
};

/// Promises: the content after a number of rounds depends on task and stream number alone;
/// exchange stores and restores it to the last bit.
class Stream {
 public:
  Stream(const SearchTask& task, std::uint64_t stream);
  ~Stream();

  /// Scores about a thousand variants, `most` at most, and learns from them.
  void run_round(Evaluator& evaluator, std::uint64_t most);
  /// Refines some of the best that were not refined yet; false when there are none. Not for Pareto
  /// runs, whose leaders refine.
  bool run_refinement(Evaluator& evaluator, std::uint64_t most);

  const Tally& tally() const;
  const std::vector<CurveRow>& curve() const;
  Pool make_pool() const;
  void exchange(State& state);

  /// From now on the stages are timed; changes no result.
  void watch_stages();
  StageTimes stage_times() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

/// When a stream has had its share.
struct StreamEnd {
  std::uint64_t budget = 0;        ///< variants; 0: no bound
  double start_s = 0, time_s = 0;  ///< on the context's clock; no time: no bound
};

/// Runs a stream to its end or until the context is told to stop. After each round `after_round` is
/// called, for progress and checkpoints.
void run_stream(Stream& stream, const SearchTask& task, const StreamEnd& end, Evaluator& evaluator,
                RunContext& context, const std::function<void()>& after_round);

}  // namespace sixtyfold
