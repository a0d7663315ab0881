#pragma once
// Sharing a budget between choices whose yield is unknown and wears out: discounted upper
// confidence bounds (Garivier and Moulines 2011, after Kocsis and Szepesvari 2006).

#include <vector>

#include "search/space/state.h"

namespace sixtyfold {

struct BanditOptions {
  double discount = 0.995;   ///< weight of a reward after each further one, (0, 1]
  double exploration = 0.3;  ///< width of the confidence bound, >= 0
};

/// Promises: every choice is tried once before any is tried twice; ties go to the lowest number;
/// deterministic. `choose` counts the choice as pending, so that several can be chosen before
/// their rewards arrive (Desautels, Krause and Burdick 2014).
class Bandit {
 public:
  explicit Bandit(int choices, BanditOptions options = {});

  int choose();
  /// Reward in [0, 1] of one earlier choice.
  void reward(int choice, double reward);
  /// Discounted mean reward, 0 before the first.
  double mean(int choice) const;
  void exchange(State& state);

 private:
  struct Arm {
    double weight = 0, sum = 0;
    long long chosen = 0, pending = 0;
    void exchange(State& state);
  };
  BanditOptions options_;
  std::vector<Arm> arms_;
};

}  // namespace sixtyfold
