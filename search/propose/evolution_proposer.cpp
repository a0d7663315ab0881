#include "search/propose/evolution_proposer.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

#include "engine/random.h"
#include "search/space/ranking.h"

namespace sixtyfold {

namespace {

constexpr double learning_rate = 0.1;  // c of Zhang and Sanderson 2009
constexpr double best_share = 0.1;     // p, ibid.
// For several objectives, chosen on ZDT1-3 (tests/bench/function_bench).
constexpr double several_best_share = 0.3, several_mutations = 0.25;  // the latter a child

/// Order of places, best first: feasible by front and crowding, then infeasible by violation; the
/// most crowded are removed one at a time, so that those kept are spread evenly (Kukkonen and
/// Deb 2006).
std::vector<int> sort_by_merit(const std::vector<Trial>& trials) {
  std::vector<int> feasible, infeasible;
  for (std::size_t i = 0; i < trials.size(); ++i)
    (trials[i].outcome.feasible() ? feasible : infeasible).push_back(static_cast<int>(i));
  std::stable_sort(infeasible.begin(), infeasible.end(), [&](int a, int b) {
    return trials[static_cast<std::size_t>(a)].outcome.violation <
           trials[static_cast<std::size_t>(b)].outcome.violation;
  });
  std::vector<Objectives> objectives;
  for (const int i : feasible)
    objectives.push_back(trials[static_cast<std::size_t>(i)].outcome.objectives);
  const std::vector<int> ranks = find_front_ranks(objectives);
  const int front_count = ranks.empty() ? 0 : *std::max_element(ranks.begin(), ranks.end()) + 1;

  std::vector<int> order;
  for (int rank = 0; rank < front_count; ++rank) {
    std::vector<int> places;
    for (std::size_t i = 0; i < feasible.size(); ++i)
      if (ranks[i] == rank) places.push_back(static_cast<int>(i));
    std::vector<int> crowded;  // most crowded first
    if (objectives[0].size() > 1) {
      std::vector<Objectives> front;
      for (const int i : places) front.push_back(objectives[static_cast<std::size_t>(i)]);
      for (const int k : sort_by_crowding(front))
        crowded.push_back(places[static_cast<std::size_t>(k)]);
    } else {
      crowded = places;
    }
    for (auto i = crowded.rbegin(); i != crowded.rend(); ++i)
      order.push_back(feasible[static_cast<std::size_t>(*i)]);
  }
  order.insert(order.end(), infeasible.begin(), infeasible.end());
  return order;
}

/// Polynomial mutation (Deb and Agrawal 1999). Differences alone never leave a wall on which the
/// whole population has come to lie.
double mutate(double value, RandomStream& stream) {
  constexpr double exponent = 1 / (20.0 + 1);
  const double u = stream.uniform();
  if (u < 0.5) return value + value * (std::pow(2 * u, exponent) - 1);
  return value + (1 - value) * (1 - std::pow(2 * (1 - u), exponent));
}

}  // namespace

EvolutionProposer::EvolutionProposer(const ProposerOptions& options)
    : size_(static_cast<std::size_t>(options.population > 0
                                         ? options.population
                                         : std::clamp(5 * options.dimension, 30, 100))),
      seed_(options.seed),
      sobol_(options.dimension, options.seed) {}

EvolutionProposer::Child EvolutionProposer::make_child(std::uint64_t index, int parent) const {
  Child child;
  if (population_.size() < size_) {  // still filling up
    child.point = sobol_.point(index);
    return child;
  }
  RandomStream stream(seed_, Purpose::propose, index);
  child.parent = parent;
  child.crossover = std::clamp(mean_crossover_ + 0.1 * stream.normal(), 0.0, 1.0);
  do {  // Cauchy, drawn again when not positive
    child.scale = mean_scale_ + 0.1 * std::tan(std::numbers::pi * (stream.uniform() - 0.5));
  } while (!(child.scale > 0));
  child.scale = std::min(child.scale, 1.0);

  const UnitPoint& x = population_[static_cast<std::size_t>(parent)].point;
  // For several objectives the best are more: the first tenth would be the ends of the front alone.
  // And half of the steps move all coordinates, since along a front they change together.
  const bool several = population_[0].outcome.objectives.size() > 1;
  const double share = several ? several_best_share : best_share;
  if (several && stream.uniform() < 0.5) child.crossover = 1;
  const auto best_count =
      std::max<std::uint64_t>(2, static_cast<std::uint64_t>(share * static_cast<double>(size_)));
  const UnitPoint& best = population_[stream.below(best_count)].point;
  std::uint64_t first = 0, second = 0;
  do first = stream.below(population_.size());
  while (first == static_cast<std::uint64_t>(parent));
  do second = stream.below(population_.size() + replaced_.size());
  while (second == first || second == static_cast<std::uint64_t>(parent));
  const UnitPoint& a = population_[first].point;
  const UnitPoint& b = second < population_.size() ? population_[second].point
                                                   : replaced_[second - population_.size()];
  const std::uint64_t always = stream.below(x.size());
  child.point = x;
  for (std::size_t k = 0; k < x.size(); ++k) {
    if (k != always && !(stream.uniform() < child.crossover)) continue;
    double value = x[k] + child.scale * (best[k] - x[k]) + child.scale * (a[k] - b[k]);
    // Past a wall: half way to it, or for several objectives, whose fronts often lie along walls,
    // as often onto it.
    const bool onto = several && (value < 0 || value > 1) && stream.uniform() < 0.5;
    if (value < 0) value = onto ? 0 : x[k] / 2;
    if (value > 1) value = onto ? 1 : (1 + x[k]) / 2;
    child.point[k] = value;
  }
  if (several)
    for (double& value : child.point)
      if (stream.uniform() * static_cast<double>(x.size()) < several_mutations)
        value = mutate(value, stream);
  return child;
}

std::vector<UnitPoint> EvolutionProposer::ask(int count) {
  asked_.clear();
  std::vector<UnitPoint> points;
  for (int i = 0; i < count; ++i) {
    asked_.push_back(make_child(next_++, cursor_));
    cursor_ = (cursor_ + 1) % static_cast<int>(size_);
    points.push_back(asked_.back().point);
  }
  return points;
}

void EvolutionProposer::settle(const Child& child, const Outcome& outcome) {
  if (!is_sound(outcome)) return;
  if (child.parent < 0) {
    learn({child.point, outcome});
    return;
  }
  Trial& parent = population_[static_cast<std::size_t>(child.parent)];
  if (beats(outcome, parent.outcome)) {
    if (replaced_.size() < size_) {
      replaced_.push_back(parent.point);
    } else {
      RandomStream stream(seed_, Purpose::choose, next_ + static_cast<std::uint64_t>(settled_));
      replaced_[stream.below(size_)] = parent.point;
    }
    good_scales_.push_back(child.scale);
    good_crossovers_.push_back(child.crossover);
    parent = {child.point, outcome};
  } else if (!beats(parent.outcome, outcome)) {
    if (outcome.feasible() && outcome.objectives.size() > 1 &&
        outcome.objectives != parent.outcome.objectives) {
      population_.push_back({child.point, outcome});  // neither is better: keep both for now
    } else {
      parent = {child.point, outcome};  // equal: drift along plateaus
    }
  }
}

void EvolutionProposer::end_generation() {
  const std::vector<int> order = sort_by_merit(population_);
  std::vector<Trial> kept;
  for (std::size_t i = 0; i < size_; ++i)
    kept.push_back(std::move(population_[static_cast<std::size_t>(order[i])]));
  population_ = std::move(kept);
  settled_ = 0;
  if (good_scales_.empty()) return;
  double sum = 0, squares = 0;
  for (const double scale : good_scales_) {
    sum += scale;
    squares += scale * scale;
  }
  const double mean_crossover =
      std::accumulate(good_crossovers_.begin(), good_crossovers_.end(), 0.0) /
      static_cast<double>(good_crossovers_.size());
  mean_scale_ += learning_rate * (squares / sum - mean_scale_);  // Lehmer mean
  mean_crossover_ += learning_rate * (mean_crossover - mean_crossover_);
  good_scales_.clear();
  good_crossovers_.clear();
}

void EvolutionProposer::tell(const std::vector<Outcome>& outcomes) {
  assert(outcomes.size() == asked_.size());
  bool over = false;
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    settle(asked_[i], outcomes[i]);
    if (asked_[i].parent >= 0) over = ++settled_ >= static_cast<int>(size_) || over;
  }
  asked_.clear();
  // Places are parents of asked children until all are told, so the sorting waits for that.
  if (over) end_generation();
}

void EvolutionProposer::learn(const Trial& trial) {
  if (!is_sound(trial.outcome)) return;
  if (population_.size() < size_) {
    population_.push_back(trial);
    if (population_.size() == size_) end_generation();
    return;
  }
  // Somebody else's trial takes the last place if it beats what is there.
  Trial& last = population_[size_ - 1];
  if (beats(trial.outcome, last.outcome)) last = trial;
}

double EvolutionProposer::find_hurdle(std::size_t i) const {
  const int parent = asked_[i].parent;
  if (parent >= 0)
    if (const Outcome& outcome = population_[static_cast<std::size_t>(parent)].outcome;
        outcome.feasible())
      return outcome.quality;
  return -std::numeric_limits<double>::infinity();
}

void EvolutionProposer::Child::exchange(State& state) {
  state.exchange(point);
  state.exchange(parent);
  state.exchange(scale);
  state.exchange(crossover);
}

void EvolutionProposer::exchange(State& state) {
  state.exchange(next_);
  state.exchange(cursor_);
  state.exchange(settled_);
  state.exchange(population_);
  state.exchange(replaced_);
  state.exchange(good_scales_);
  state.exchange(good_crossovers_);
  state.exchange(mean_scale_);
  state.exchange(mean_crossover_);
  state.exchange(asked_);
}

}  // namespace sixtyfold
