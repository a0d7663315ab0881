#include "search/propose/bandit.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

Bandit::Bandit(int choices, BanditOptions options)
    : options_(options), arms_(static_cast<std::size_t>(choices)) {
  assert(choices >= 1);
}

int Bandit::choose() {
  double total = 0;
  for (const Arm& arm : arms_) total += arm.weight + static_cast<double>(arm.pending);
  const double log_total = std::log(1 + total);
  const double width = options_.exploration * options_.exploration * log_total;
  int best = -1;
  double best_bound = 0;
  for (std::size_t i = 0; i < arms_.size(); ++i) {
    const Arm& arm = arms_[i];
    const double weight = arm.weight + static_cast<double>(arm.pending);
    // Most arms lie far below the best so far, which takes neither a root nor a division to see.
    const double below = best_bound * arm.weight - arm.sum;
    if (best >= 0 && arm.chosen > 0 && below > 0 &&
        (1 - 1e-9) * below * below * weight > width * arm.weight * arm.weight)
      continue;
    // An arm not yet tried comes first; a pending one counts as tried with its present mean.
    const double bound =
        arm.chosen == 0 ? HUGE_VAL
                        : mean(static_cast<int>(i)) +
                              options_.exploration * std::sqrt(log_total / std::max(weight, 1e-9));
    if (best < 0 || bound > best_bound) {
      best = static_cast<int>(i);
      best_bound = bound;
    }
  }
  assert(best >= 0);
  Arm& arm = arms_[static_cast<std::size_t>(best)];
  ++arm.chosen;
  ++arm.pending;
  return best;
}

void Bandit::reward(int choice, double reward) {
  assert(0 <= reward && reward <= 1);
  for (Arm& arm : arms_) {
    arm.weight *= options_.discount;
    arm.sum *= options_.discount;
  }
  Arm& arm = arms_[static_cast<std::size_t>(choice)];
  assert(arm.pending > 0);
  --arm.pending;
  arm.weight += 1;
  arm.sum += reward;
}

double Bandit::mean(int choice) const {
  const Arm& arm = arms_[static_cast<std::size_t>(choice)];
  return arm.weight > 0 ? arm.sum / arm.weight : 0;
}

void Bandit::Arm::exchange(State& state) {
  state.exchange(weight);
  state.exchange(sum);
  state.exchange(chosen);
  state.exchange(pending);
}

void Bandit::exchange(State& state) { state.exchange(arms_); }

}  // namespace sixtyfold
