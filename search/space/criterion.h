#pragma once
// What designs are compared by: the numbers of a score under names people can type, limits on
// them, weights for one ranking, or two or three of them for a Pareto set.

#include <limits>
#include <string>
#include <vector>

#include "engine/appeal/taste.h"
#include "engine/score.h"
#include "search/space/ranking.h"

namespace sixtyfold {

/// A number of a score, which way is better, and the range over which the ranking tells it apart.
struct Criterion {
  std::string name, unit, description;
  double worst = 0, best = 1;  ///< best < worst: less is better
  double (*measure)(const Score&) = nullptr;
  bool of_stock = false;  ///< comes from the stock stage of a variant
  /// For what goes in large steps: a number between this step and the next better one, which leads
  /// the search from step to step. Only what is measured is shown and compared.
  double (*guide)(const Score&) = nullptr;
  bool goes_in_steps = false;  ///< with a given number of panels few values are met

  bool more_is_better() const { return best > worst; }
  /// A value as a number to be minimised, and such a number as the value it was.
  double turn(double value) const { return more_is_better() ? -value : value; }
  /// Of a value: 0 at the best, 1 at the worst, less or more beyond them.
  double measure_miss(double value) const { return (value - best) / (worst - best); }
};

/// All of them, in an order that never changes.
const std::vector<Criterion>& criteria();
/// Throws std::invalid_argument with the names there are.
const Criterion& find_criterion(const std::string& name);

struct Weight {
  const Criterion* criterion;
  double weight = 1;
};

/// Why no search can go by these weights alone: of hours it knows a bound, of other numbers of
/// building nothing. Empty when it can, and for no weights; `example`: what to give beside them.
std::string find_lead_fault(const std::vector<Weight>& weights, const std::string& example);

struct Bound {
  const Criterion* criterion;
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
};

struct Goals {
  std::vector<Weight> weights;           ///< of the weighted ranking; empty: default_weights()
  std::vector<const Criterion*> pareto;  ///< empty, or two or three
  std::vector<Bound> bounds;             ///< beside those of Limits
  Taste taste;                           ///< of whom the appeal is

  /// Empty when they make sense, else one sentence.
  std::string find_fault() const;
  /// Whether a weight, a bound or a Pareto criterion of this name is among them.
  bool ask_for(const std::string& name) const;
  /// Whether the appeal is among them, of which a search knows a bound only; so by default.
  bool ask_for_appeal() const;
  /// Whether any number of the stock stage is among them.
  bool ask_for_stock() const;
  /// Whether numbers of engine/building/day.h are among the goals. Like hard steps they are
  /// measured only of what is about to be listed; until then hours are a bound, the others 0. As
  /// weights they put what the search found in order; what it looks for the other weights say.
  bool ask_for_day() const;
};

/// What people choose (engine/appeal/taste.h), and what can be built well: right angles, well
/// glued, stiff, sturdy, large.
std::vector<Weight> default_weights();

/// "joints" or "joints=2.5". Throws std::invalid_argument with what is allowed.
Weight parse_weight(const std::string& text);
/// "joints<=120" or "stiffness>=0.01". Throws std::invalid_argument with what is allowed.
Bound parse_bound(const std::string& text);

/// How many hard steps what is listed may have: as bounded, none without a bound. They are counted
/// only of what is about to be listed; until then a design has none.
int find_most_hard_steps(const Goals& goals);

/// Weighted geometric mean of the desirabilities, each at least 0.02 so that one bad number does
/// not hide all others. In (0, 1].
double measure_quality(const Goals& goals, const Score& score);
/// Values of the Pareto criteria as numbers to be minimised; without them the negative quality.
Objectives measure_objectives(const Goals& goals, const Score& score);
/// The same with the guides of those that have one; empty when none has.
Objectives measure_guides(const Goals& goals, const Score& score);
/// Largest share by which a bound is missed, 0 when all hold.
double measure_shortfall(const Goals& goals, const Score& score);
/// The same where a criterion is only known to lie between those of two scores: 0 when some score
/// between them may hold every bound.
double measure_sure_shortfall(const Goals& goals, const Score& score, const Score& other);

}  // namespace sixtyfold
