#pragma once
// What tuning is for, in numbers: any criteria of find, with weights.

#include <string>
#include <vector>

#include "search/space/criterion.h"

namespace sixtyfold {

struct TuneGoal {
  std::vector<Weight> weights;
  std::vector<const Criterion*> also;  ///< decide, in order, between what serves equally
  Taste taste;                         ///< of whom the appeal is

  bool is_for(const std::string& name) const;
  bool is_only_for(const std::string& name) const { return weights.size() == 1 && is_for(name); }
  /// Whether numbers beyond joints and stiffness are asked for.
  bool asks_for_score() const;
  /// Whether numbers of the day are (engine/building/day.h).
  bool asks_for_day() const;
  /// Whether those are, or steps of putting it together.
  bool asks_for_building() const;

  /// Whether the number was looked at. Of building a whole design alone has all numbers.
  static bool is_measured(const Criterion& criterion, const Score& score);

  /// Less is better. What does not fit its sheet has no number of sheets, cost or waste and loses;
  /// so does what was not looked at.
  double measure(const Criterion& criterion, const Score& score) const;
  /// How many times better, as a logarithm, weighted: 0 for the same, above 0 for better. Numbers
  /// below a hundredth of the criterion's range count as that much. What was not measured before
  /// gains nothing.
  double measure_gain(const Score& before, const Score& after) const;
  /// Measures of `also`, in their order.
  std::vector<double> measure_also(const Score& score) const;

  /// "joints", "mass=2,stiffness".
  std::string describe() const;
};

/// Least gain that counts as better: a hundredth.
inline constexpr double least_gain = 0.01;

}  // namespace sixtyfold
