#pragma once
// The best at every step of one criterion, dominated or not.

#include "search/space/task.h"

namespace sixtyfold {

/// A front of designs with 24 panels holds three or five; which of the next kinds of construction
/// could come to be better with 72 joints does not show on it. So for each number of joints, or
/// what else of the goals goes in steps, the best of several branches are kept.
/// Promises: of one branch one find a rung; of equals the first is kept; nothing infeasible and
/// nothing that is not finite ever enters; what is kept depends on what was taken and its order.
class Rungs {
 public:
  /// The goals have Pareto criteria and outlive this.
  explicit Rungs(const Goals& goals);

  /// Whether it was kept.
  bool take(const Find& find);
  const std::vector<Find>& finds() const { return finds_; }
  void exchange(State& state) { state.exchange(finds_); }

 private:
  double rung_of(const Find& find) const;
  double rest_of(const Find& find) const;

  const Goals* goals_;
  std::size_t stepped_;  ///< number of the criterion
  std::vector<Find> finds_;
};

}  // namespace sixtyfold
