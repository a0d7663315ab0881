#include "search/tune/goal.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/text.h"

namespace sixtyfold {
namespace {

constexpr double lost = 1e9;

const std::set<std::string> of_sheets{"sheets", "utilisation", "waste", "cost", "cutting_time"};
const std::set<std::string> of_day{"hours", "module_opening", "closure"};
const std::set<std::string> of_steps{"hard_steps", "spring_steps"};

bool asks_for_any(const TuneGoal& goal, const std::set<std::string>& names) {
  return std::any_of(names.begin(), names.end(), [&](const std::string& name) {
    return goal.is_for(name) ||
           std::any_of(goal.also.begin(), goal.also.end(),
                       [&](const Criterion* criterion) { return criterion->name == name; });
  });
}

}  // namespace

bool TuneGoal::is_for(const std::string& name) const {
  return std::any_of(weights.begin(), weights.end(),
                     [&](const Weight& weight) { return weight.criterion->name == name; });
}

bool TuneGoal::asks_for_score() const {
  const auto is_dear = [](const Criterion* criterion) {
    return criterion->name != "joints" && criterion->name != "stiffness";
  };
  return std::any_of(weights.begin(), weights.end(),
                     [&](const Weight& weight) { return is_dear(weight.criterion); }) ||
         std::any_of(also.begin(), also.end(), is_dear);
}

bool TuneGoal::asks_for_day() const { return asks_for_any(*this, of_day); }

bool TuneGoal::asks_for_building() const { return asks_for_day() || asks_for_any(*this, of_steps); }

bool TuneGoal::is_measured(const Criterion& criterion, const Score& score) {
  // Criteria tell of none as of 0: find has bounds on them that nothing unmeasured breaks.
  const std::string& name = criterion.name;
  if (name == "hours") return score.hours >= 0;
  if (name == "module_opening") return score.module_opening_mm >= 0;
  if (name == "closure") return score.closure_mm >= 0;
  if (name == "hard_steps") return score.hard_steps >= 0;
  if (name == "spring_steps") return score.spring_steps >= 0;
  return true;
}

double TuneGoal::measure(const Criterion& criterion, const Score& score) const {
  if (criterion.name == "appeal") return -measure_appeal(score, taste);
  if (score.sheets == 0 && of_sheets.count(criterion.name)) return lost;
  if (!is_measured(criterion, score)) return lost;
  return criterion.turn(criterion.measure(score));
}

double TuneGoal::measure_gain(const Score& before, const Score& after) const {
  double sum = 0, total = 0;
  for (const Weight& weight : weights) {
    const Criterion& criterion = *weight.criterion;
    const double least = 0.01 * std::abs(criterion.best - criterion.worst);
    const double old = measure(criterion, before), now = measure(criterion, after);
    double gain = now == lost ? -10 : 10;
    if ((old == lost && now == lost) || !is_measured(criterion, before))
      gain = 0;
    else if (old != lost && now != lost)
      gain = std::log(std::max(std::abs(now), least) / std::max(std::abs(old), least)) *
             (criterion.more_is_better() ? 1 : -1);
    sum += weight.weight * gain;
    total += weight.weight;
  }
  return total > 0 ? sum / total : 0;
}

std::vector<double> TuneGoal::measure_also(const Score& score) const {
  std::vector<double> values;
  for (const Criterion* criterion : also) values.push_back(measure(*criterion, score));
  return values;
}

std::string TuneGoal::describe() const {
  std::string text;
  for (const Weight& weight : weights)
    text += (text.empty() ? "" : ",") + weight.criterion->name +
            (weight.weight == 1 ? "" : format("=%g", weight.weight));
  return text;
}

}  // namespace sixtyfold
