#include "search/keep/rungs.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {
namespace {

constexpr int most_of_rung = 6;
constexpr double rungs_of_smooth = 60;  // where no criterion goes in steps

}  // namespace

Rungs::Rungs(const Goals& goals) : goals_(&goals) {
  const std::vector<const Criterion*>& all = goals.pareto;
  assert(!all.empty());
  const auto first =
      std::find_if(all.begin(), all.end(), [](const Criterion* one) { return one->goes_in_steps; });
  stepped_ = first == all.end() ? 0 : static_cast<std::size_t>(first - all.begin());
}

double Rungs::rung_of(const Find& find) const {
  const Criterion& criterion = *goals_->pareto[stepped_];
  const double objective = find.outcome.objectives[stepped_];
  if (criterion.goes_in_steps) return objective;
  const double miss = criterion.measure_miss(criterion.turn(objective));
  return std::floor(std::clamp(miss, 0.0, 1.0) * rungs_of_smooth);
}

/// What the other criteria miss of their best, together.
double Rungs::rest_of(const Find& find) const {
  double rest = 0;
  for (std::size_t k = 0; k < goals_->pareto.size(); ++k) {
    const Criterion& criterion = *goals_->pareto[k];
    if (k != stepped_) rest += criterion.measure_miss(criterion.turn(find.outcome.objectives[k]));
  }
  return rest;
}

bool Rungs::take(const Find& find) {
  if (!find.outcome.feasible() || !is_sound(find.outcome)) return false;
  const double rung = rung_of(find), rest = rest_of(find);
  int beside = 0;
  Find* worst = nullptr;
  for (Find& other : finds_) {
    if (rung_of(other) != rung) continue;
    if (other.branch == find.branch) {
      if (!(rest < rest_of(other))) return false;
      other = find;
      return true;
    }
    ++beside;
    if (!worst || rest_of(*worst) < rest_of(other)) worst = &other;
  }
  if (beside < most_of_rung) {
    finds_.push_back(find);
    return true;
  }
  if (!(rest < rest_of(*worst))) return false;
  *worst = find;
  return true;
}

}  // namespace sixtyfold
