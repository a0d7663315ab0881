#pragma once
// One stream of a search: it proposes, scores and keeps, round after round. A run is one or several
// streams that know nothing of each other; `search/choose/choice.h` makes one ranking of them.

#include <memory>

#include "search/run/scorer.h"

namespace sixtyfold {

/// Promises: the content after a number of rounds depends on task and stream number alone;
/// exchange stores and restores it to the last bit; what was kept may be asked for between any two
/// rounds.
class Stream {
 public:
  virtual ~Stream() = default;

  /// Scores about a thousand variants and learns from them; no more than the `rest` of the run, as
  /// far as that is known.
  virtual void run_round(Evaluator& evaluator, std::uint64_t rest) = 0;
  virtual Pool make_pool() const { return kept_.make_pool(); }
  virtual void exchange(State& state) { state.exchange(kept_); }

  const Tally& tally() const { return kept_.tally(); }
  const std::vector<CurveRow>& curve() const { return kept_.curve(); }

  /// From now on the stages are timed; changes no result.
  void watch_stages() { scorer_.watch_stages(); }
  StageTimes stage_times() const { return scorer_.stage_times(); }

 protected:
  explicit Stream(const SearchTask& task) : task_(task), kept_(task), scorer_(task) {}

  const SearchTask& task_;
  Kept kept_;
  Scorer scorer_;
};

/// A stream for quality and variety, or with Pareto criteria for their fronts. The task must have
/// no fault and live as long.
std::unique_ptr<Stream> make_stream(const SearchTask& task, std::uint64_t number);

}  // namespace sixtyfold
