#pragma once
// Sobol' points one after another.

#include <limits>

#include "search/propose/proposer.h"
#include "search/propose/sobol.h"

namespace sixtyfold {

class SamplingProposer final : public Proposer {
 public:
  explicit SamplingProposer(const ProposerOptions& options)
      : sobol_(options.dimension, options.seed) {}

  std::vector<UnitPoint> ask(int count) override {
    std::vector<UnitPoint> points;
    for (int i = 0; i < count; ++i) points.push_back(sobol_.point(next_++));
    return points;
  }
  void tell(const std::vector<Outcome>&) override {}
  void learn(const Trial&) override {}
  double find_hurdle(std::size_t) const override { return std::numeric_limits<double>::infinity(); }
  void exchange(State& state) override { state.exchange(next_); }

 private:
  Sobol sobol_;
  std::uint64_t next_ = 0;
};

}  // namespace sixtyfold
