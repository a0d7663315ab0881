#include "search/keep/quality_gate.h"

#include <cmath>

namespace sixtyfold {

bool QualityGate::lets_through(Stage next, const Score& score) {
  if (next <= Stage::openness) return true;
  if (std::isnan(hurdle_)) hurdle_ = find_hurdle_(score);
  // Whoever just misses by rounding is let through.
  constexpr double margin = 1e-9;
  return hurdle_ <= 0 ||
         measure_quality(goals_, find_best_case(score, next, limits_)) >= hurdle_ * (1 - margin);
}

}  // namespace sixtyfold
