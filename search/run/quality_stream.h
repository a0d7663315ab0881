#pragma once
// The loop of a search for quality and variety.

#include "search/propose/archive_proposer.h"
#include "search/run/stream.h"

namespace sixtyfold {

/// Raises the sum of the qualities in all archives. A share of the variants goes to refining the
/// best of each branch, some of it early on.
class QualityStream final : public Stream {
 public:
  QualityStream(const SearchTask& task, std::uint64_t number);
  void run_round(Evaluator& evaluator, std::uint64_t rest) override;
  void exchange(State& state) override;

 private:
  void explore(Evaluator& evaluator, std::uint64_t count);
  /// Of those that were not refined yet: the best four elites of each branch, best first, then the
  /// next four of each, and so on; `most` of them.
  std::vector<Find> find_starts(std::size_t most) const;
  /// False when there is nothing to refine.
  bool refine_some(Evaluator& evaluator, std::uint64_t most);

  ArchiveProposer proposer_;
  double gain_scale_ = 0;             ///< the largest gain of late, fading
  std::vector<Find> refined_;         ///< starts and ends of refinements already done
  std::uint64_t spent_refining_ = 0;  ///< variants
};

}  // namespace sixtyfold
