#pragma once
// Ask and tell: a proposer says which points to try, the loop tries them and tells the outcomes.
// One interface, one shared test suite (tests/search/propose/proposer_test.cpp).

#include <cmath>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "search/space/outcome.h"

namespace sixtyfold {

/// Folded back into [0, 1] at the walls.
inline double reflect(double value) {
  value = std::fabs(std::fmod(value, 2.0));
  return value > 1 ? 2 - value : value;
}

/// Promises:
/// 1. every proposed point has `dimension` finite coordinates in [0, 1];
/// 2. what is proposed depends on the seed and on what was told before, and on nothing else;
/// 3. exchange stores and restores everything, so that a restored proposer goes on to the same
///    points.
class Proposer {
 public:
  virtual ~Proposer() = default;
  /// Points to try next; they stay asked until told.
  virtual std::vector<UnitPoint> ask(int count) = 0;
  /// Outcomes of exactly the points last asked for, in that order.
  virtual void tell(const std::vector<Outcome>& outcomes) = 0;
  /// A trial that somebody else made. Optional to use.
  virtual void learn(const Trial& trial) = 0;
  /// Where the one objective is the negative quality: when the i-th of the points last asked for is
  /// told with a lower quality than this, or as infeasible, that changes nothing here.
  virtual double find_hurdle(std::size_t i) const = 0;
  virtual void exchange(State& state) = 0;
};

struct ProposerOptions {
  int dimension = 1;  ///< 1 to largest_sobol_dimension
  std::uint64_t seed = 1;
  int population = 0;                 ///< evolution only; 0: 5 a dimension within 30 to 100
  std::vector<int> cells = {32, 32};  ///< archive only: cells along each measure

  /// Empty when they make sense, else one sentence.
  std::string find_fault() const;
};

enum class Method { sampling, evolution, archive };
inline constexpr Method all_methods[] = {Method::sampling, Method::evolution, Method::archive};

/// "sampling", "evolution", "archive".
std::string name_of(Method method);

/// sampling: Sobol' points, shifted by the seed.
/// evolution: adaptive differential evolution (JADE, Zhang and Sanderson 2009) with the selection
///   of GDE3 (Kukkonen and Lampinen 2005) for several objectives and for constraints.
/// archive: variation of the elites of a grid archive along a line through two of them
///   (Vassiliades and Mouret 2018).
/// Throws std::invalid_argument when the options have a fault.
std::unique_ptr<Proposer> make_proposer(Method method, const ProposerOptions& options);

}  // namespace sixtyfold
