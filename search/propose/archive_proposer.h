#pragma once
// Variation of what a grid archive holds.

#include <limits>

#include "search/keep/archive.h"
#include "search/propose/proposer.h"
#include "search/propose/sobol.h"

namespace sixtyfold {

class ArchiveProposer final : public Proposer {
 public:
  explicit ArchiveProposer(const ProposerOptions& options)
      : seed_(options.seed), sobol_(options.dimension, options.seed), archive_(options.cells) {}

  std::vector<UnitPoint> ask(int count) override;
  void tell(const std::vector<Outcome>& outcomes) override;
  void learn(const Trial& trial) override { archive_.insert(trial); }
  /// The cell of a trial is not known before it is scored; whoever asks knows its elite.
  double find_hurdle(std::size_t) const override { return std::numeric_limits<double>::infinity(); }
  void exchange(State& state) override;

  const GridArchive& archive() const { return archive_; }

 private:
  UnitPoint make_child(std::uint64_t index) const;

  std::uint64_t seed_;
  Sobol sobol_;
  GridArchive archive_;
  std::uint64_t next_ = 0;
  std::vector<UnitPoint> asked_;
};

}  // namespace sixtyfold
