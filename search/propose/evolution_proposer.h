#pragma once
// Adaptive differential evolution for one or several objectives with constraints.

#include "search/propose/proposer.h"
#include "search/propose/sobol.h"

namespace sixtyfold {

class EvolutionProposer final : public Proposer {
 public:
  explicit EvolutionProposer(const ProposerOptions& options);

  std::vector<UnitPoint> ask(int count) override;
  void tell(const std::vector<Outcome>& outcomes) override;
  void learn(const Trial& trial) override;
  double find_hurdle(std::size_t i) const override;
  void exchange(State& state) override;

  const std::vector<Trial>& population() const { return population_; }

 private:
  /// A child that was asked for: its parent's place (or none) and the settings that made it.
  struct Child {
    UnitPoint point;
    int parent = -1;
    double scale = 0, crossover = 0;
    void exchange(State& state);
  };
  Child make_child(std::uint64_t index, int parent) const;
  void settle(const Child& child, const Outcome& outcome);
  void end_generation();

  std::size_t size_;  ///< of the population
  std::uint64_t seed_;
  Sobol sobol_;
  std::uint64_t next_ = 0;
  int cursor_ = 0, settled_ = 0;   ///< next parent; children settled in this generation
  std::vector<Trial> population_;  ///< the first `size_` best first after each generation
  std::vector<UnitPoint> replaced_;
  std::vector<double> good_scales_, good_crossovers_;
  double mean_scale_ = 0.5, mean_crossover_ = 0.5;
  std::vector<Child> asked_;
};

}  // namespace sixtyfold
