#pragma once
// A whole run: its streams one after another, each with its share of the budget.

#include <functional>
#include <memory>
#include <vector>

#include "search/run/run_context.h"
#include "search/run/run_plan.h"
#include "search/run/stream.h"

namespace sixtyfold {

/// Promises:
/// 1. a run limited by a budget leaves the same pools at any number of threads;
/// 2. stream i of n leaves the same pool whether it runs alone as a shard or among the others;
/// 3. a run restored by exchange between two rounds goes on to the same pools;
/// 4. `after_round` comes every thousand variants or so and may ask for anything, as for the pools
///    to choose the best so far from (search/choose/choice.h): the run goes on as if not asked.
class Run {
 public:
  explicit Run(const RunPlan& plan);  ///< throws as make_task
  ~Run();

  /// Until everything is done or the context says stop.
  EndReason go_on(Evaluator& evaluator, RunContext& context,
                  const std::function<void()>& after_round);

  const SearchTask& task() const;
  Tally tally() const;
  double best_quality() const;
  std::vector<Pool> make_pools() const;  ///< of the streams run so far, in order
  void exchange(State& state);

  /// As of Stream; for the streams begun from now on.
  void watch_stages();
  StageTimes stage_times() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace sixtyfold
