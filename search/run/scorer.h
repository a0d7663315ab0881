#pragma once
// Points scored on several threads.

#include <functional>

#include "search/keep/kept.h"
#include "search/run/evaluator.h"
#include "search/run/stage_times.h"

namespace sixtyfold {

/// Promises: the results do not depend on the number of threads.
class Scorer {
 public:
  /// What one worker needs.
  struct Workspace {
    VariantWorkspace work;
    Draft draft;
    Variant variant;
    StageClock clock;
  };

  explicit Scorer(const SearchTask& task) : task_(task) {}

  /// Scores points 0 .. count-1 of those that `make` gives; it is called on many threads. With
  /// archives: a variant that can not better the elite of its cell is ended early.
  std::vector<Scored> score(Evaluator& evaluator, int count,
                            const std::function<BranchPoint(int)>& make,
                            const BranchArchives* to_better);
  /// One workspace for each thread.
  std::vector<Workspace>& prepare(const Evaluator& evaluator);

  /// From now on the stages are timed; changes no result.
  void watch_stages() { is_watched_ = true; }
  StageTimes stage_times() const;

 private:
  const SearchTask& task_;
  std::vector<Workspace> workspaces_;
  bool is_watched_ = false;
};

}  // namespace sixtyfold
