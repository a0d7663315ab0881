#include "search/keep/front.h"

#include <algorithm>
#include <stdexcept>

#include "search/space/ranking.h"

namespace sixtyfold {

const Objectives& Front::values_of(const Find& find) const {
  const Outcome& outcome = find.outcome;
  return by_ == By::objectives || outcome.guides.empty() ? outcome.objectives : outcome.guides;
}

bool Front::take(const Find& find) {
  if (!find.outcome.feasible() || !is_sound(find.outcome)) return false;
  const Objectives& values = values_of(find);
  for (const Find& other : finds_)
    if (values_of(other) == values || dominates(values_of(other), values)) return false;
  std::erase_if(finds_, [&](const Find& other) { return dominates(values, values_of(other)); });
  finds_.push_back(find);
  if (finds_.size() <= most_) return true;
  std::vector<Objectives> all;
  for (const Find& other : finds_) all.push_back(values_of(other));
  finds_.erase(finds_.begin() + sort_by_crowding(all).front());
  return true;
}

void Front::exchange(State& state) { state.exchange(finds_); }

double measure_share(const Goals& goals, const std::vector<const Front*>& fronts) {
  std::vector<Objectives> points;
  for (const Front* front : fronts)
    for (const Find& find : front->finds()) {
      Objectives point;
      for (std::size_t k = 0; k < goals.pareto.size(); ++k) {
        const Criterion& criterion = *goals.pareto[k];
        point.push_back(criterion.measure_miss(criterion.turn(find.outcome.objectives[k])));
      }
      points.push_back(point);
    }
  const Objectives reference(goals.pareto.size(), 1);
  return points.empty() ? 0 : measure_hypervolume(find_within(points, reference), reference);
}

void check_restored(const Find& find, const std::vector<Branch>& branches, const Goals& goals) {
  if (!(0 <= find.branch && static_cast<std::size_t>(find.branch) < branches.size()) ||
      find.point.size() != branches[static_cast<std::size_t>(find.branch)].parameters.size())
    throw std::invalid_argument("the checkpoint is damaged: a find of another search");
  for (const double u : find.point)
    if (!(0 <= u && u <= 1))
      throw std::invalid_argument("the checkpoint is damaged: a find outside its box");
  const std::size_t guides = find.outcome.guides.size(), objectives = goals.pareto.size();
  if (find.outcome.objectives.size() != objectives || (guides != 0 && guides != objectives) ||
      !find.outcome.feasible() || !is_sound(find.outcome))
    throw std::invalid_argument("the checkpoint is damaged: a find without its criteria");
}

}  // namespace sixtyfold
