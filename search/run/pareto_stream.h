#pragma once
// The loop of a search for fronts of several criteria.

#include "search/propose/archive_proposer.h"
#include "search/propose/front_proposer.h"
#include "search/run/stream.h"

namespace sixtyfold {

/// Most points come of the fronts, the others look for cells of the archives that are still empty,
/// so that the fronts find out what else there is.
class ParetoStream final : public Stream {
 public:
  ParetoStream(const SearchTask& task, std::uint64_t number);
  void run_round(Evaluator& evaluator, std::uint64_t rest) override;
  Pool make_pool() const override;
  void exchange(State& state) override;

 private:
  void run_batch(Evaluator& evaluator, int size);

  FrontProposer fronts_;
  ArchiveProposer archives_;
};

}  // namespace sixtyfold
