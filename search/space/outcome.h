#pragma once
// What the search knows of one evaluated point, whatever was evaluated.

#include <vector>

#include "search/space/state.h"

namespace sixtyfold {

/// Coordinates in [0, 1], one for each parameter.
using UnitPoint = std::vector<double>;

struct Outcome {
  double violation = 0;            ///< 0: feasible; > 0: how far from feasible; infinity: no idea
  double quality = 0;              ///< what the archive keeps the best of; higher is better
  std::vector<double> objectives;  ///< all to be minimised; at least one when feasible
  std::vector<double> measures;    ///< where in the archive it belongs, each in [0, 1]
  /// Objectives with steps made smooth, to climb by; empty: there are no steps.
  std::vector<double> guides = {};

  bool feasible() const { return violation == 0; }
  void exchange(State& state) {
    state.exchange(violation);
    state.exchange(quality);
    state.exchange(objectives);
    state.exchange(measures);
    state.exchange(guides);
  }
  bool operator==(const Outcome&) const = default;
};

struct Trial {
  UnitPoint point;
  Outcome outcome;

  void exchange(State& state) {
    state.exchange(point);
    state.exchange(outcome);
  }
  bool operator==(const Trial&) const = default;
};

/// Feasibility first (Deb 2000): feasible beats infeasible, less violation beats more, and two
/// feasible ones are compared by Pareto dominance. Equal outcomes do not beat each other.
bool beats(const Outcome& a, const Outcome& b);

/// Nothing but finite numbers in what a feasible outcome carries, and the violation not a NaN.
bool is_sound(const Outcome& outcome);

}  // namespace sixtyfold
