#include "search/leaders.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "search/bring.h"
#include "search/proposer.h"
#include "search/random.h"
#include "search/ranking.h"

namespace sixtyfold {
namespace {

constexpr std::size_t slot_size = 24, of_one_branch = 6, neighbour_count = 6;
constexpr std::size_t niche_size = 60, of_one_branch_in_niche = 10;
constexpr double niche_share = 0.75;   // of the children
constexpr double clear_radius = 0.05;  // root mean square of the coordinates' differences
// Of the bound on a niche's best: width, and children that count as one trial.
constexpr double niche_exploration = 0.7, niche_trial = 32;
constexpr double emigrant_share = 0.25;
constexpr double least_spread = 0.002, largest_spread = 0.1;

/// Past a wall of [0, 1]: as often onto it, where fronts often lie, as folded back.
double keep_inside(double value, RandomStream& random) {
  if (0 <= value && value <= 1) return value;
  if (random.uniform() < 0.5) return value < 0 ? 0 : 1;
  return reflect(value);
}

bool are_near(const Find& a, const Find& b) {
  if (a.branch != b.branch) return false;
  const double most = clear_radius * clear_radius * static_cast<double>(a.point.size());
  double sum = 0;
  for (std::size_t k = 0; k < a.point.size() && sum <= most; ++k)
    sum += (a.point[k] - b.point[k]) * (a.point[k] - b.point[k]);
  return sum <= most;
}

/// One of them, the better ones more often.
template <class Finds>
auto& draw(const Finds& finds, RandomStream& random) {
  return finds[std::min(random.below(finds.size()), random.below(finds.size()))];
}

}  // namespace

Leaders::Leaders(const std::vector<Branch>& branches, const Goals& goals, std::uint64_t seed)
    : branches_(branches), seed_(seed), goals_(goals) {
  const std::size_t objectives = goals.pareto.size();
  if (objectives < 2) return;
  // A simplex lattice (Das and Dennis 1998).
  const int steps = objectives == 2 ? 24 : 6;
  Objectives weights(objectives);
  const auto add = [&](const auto& self, std::size_t k, int left) -> void {
    if (k + 1 == objectives) {
      weights[k] = static_cast<double>(left) / steps;
      slots_.push_back({weights, {}, {}});
      return;
    }
    for (int i = 0; i <= left; ++i) {
      weights[k] = static_cast<double>(i) / steps;
      self(self, k + 1, left - i);
    }
  };
  add(add, 0, steps);
  for (Slot& slot : slots_) {
    std::vector<std::pair<double, int>> order;
    for (std::size_t j = 0; j < slots_.size(); ++j) {
      double squared = 0;
      for (std::size_t k = 0; k < objectives; ++k)
        squared += std::pow(slot.weights[k] - slots_[j].weights[k], 2);
      order.emplace_back(squared, static_cast<int>(j));
    }
    std::stable_sort(order.begin(), order.end());
    for (std::size_t j = 0; j < std::min(neighbour_count, order.size()); ++j)
      slot.neighbours.push_back(order[j].second);
  }
}

void Leaders::take(const Find& find) {
  if (find.outcome.feasible() && is_sound(find.outcome)) taken_.push_back(find);
}

/// Volume of the box between the find and the criteria's worst: what it alone would give to the
/// hypervolume.
double Leaders::measure_worth(const Find& find) const {
  double volume = 1;
  for (std::size_t k = 0; k < goals_.pareto.size(); ++k) {
    const Criterion& criterion = *goals_.pareto[k];
    const double value = find.outcome.objectives[k] * (criterion.more_is_better() ? -1 : 1);
    volume *= std::max(0.0, (value - criterion.worst) / (criterion.best - criterion.worst));
  }
  return volume;
}

void Leaders::settle() {
  if (slots_.empty() || taken_.empty()) return;
  settle_niches();
  settle_slots();
  taken_.clear();
}

void Leaders::settle_niches() {
  std::vector<bool> is_touched(niches_.size());
  for (const Find& find : taken_) {
    const int panels = branches_[static_cast<std::size_t>(find.branch)].scheme.panels();
    const auto is_its = [&](const Niche& niche) {
      return niche.panels == panels && niche.structure == find.outcome.structure;
    };
    const auto n = static_cast<std::size_t>(std::find_if(niches_.begin(), niches_.end(), is_its) -
                                            niches_.begin());
    if (n == niches_.size()) {
      niches_.push_back({panels, find.outcome.structure, 0, {}});
      is_touched.push_back(true);
    }
    niches_[n].finds.push_back(find);
    is_touched[n] = true;
  }
  for (std::size_t n = 0; n < niches_.size(); ++n) {
    if (!is_touched[n]) continue;
    std::vector<std::pair<double, Find*>> order;
    for (Find& find : niches_[n].finds) order.emplace_back(measure_worth(find), &find);
    // Of equals the newer first, so that leaders drift along plateaus.
    std::reverse(order.begin(), order.end());
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<Find> kept;
    for (const auto& entry : order) {
      if (kept.size() == niche_size) break;
      Find* const find = entry.second;
      const auto same_branch = std::count_if(kept.begin(), kept.end(), [&](const Find& better) {
        return better.branch == find->branch;
      });
      if (same_branch < static_cast<std::ptrdiff_t>(of_one_branch_in_niche) &&
          std::none_of(kept.begin(), kept.end(),
                       [&](const Find& better) { return are_near(better, *find); }))
        kept.push_back(std::move(*find));
    }
    niches_[n].finds = std::move(kept);
  }
}

void Leaders::settle_slots() {
  std::vector<Find> all = std::move(kept_);
  const std::size_t first_taken = all.size();
  std::move(taken_.begin(), taken_.end(), std::back_inserter(all));
  kept_.clear();
  // Scaled by what the front spans.
  std::vector<Objectives> objectives;
  for (const Find& find : all) objectives.push_back(find.outcome.objectives);
  Objectives ideal = objectives[0], span(ideal.size(), 0);
  for (const Objectives& o : objectives)
    for (std::size_t k = 0; k < ideal.size(); ++k) ideal[k] = std::min(ideal[k], o[k]);
  for (const int i : find_front(objectives))
    for (std::size_t k = 0; k < ideal.size(); ++k)
      span[k] = std::max(span[k], objectives[static_cast<std::size_t>(i)][k] - ideal[k]);
  std::vector<int> number(all.size(), -1);
  for (Slot& slot : slots_) {
    std::vector<std::pair<double, std::size_t>> order;
    std::vector<std::size_t> rivals;
    for (const int i : slot.finds) rivals.push_back(static_cast<std::size_t>(i));
    for (std::size_t i = first_taken; i < all.size(); ++i) rivals.push_back(i);
    for (const std::size_t i : rivals) {
      double most = 0, sum = 0;
      for (std::size_t k = 0; k < ideal.size(); ++k) {
        const double away = (objectives[i][k] - ideal[k]) / std::max(span[k], 1e-12);
        most = std::max(most, std::max(slot.weights[k], 1e-3) * away);
        sum += away;
      }
      order.emplace_back(most + 1e-4 * sum, i);
    }
    std::stable_sort(order.begin(), order.end());
    slot.finds.clear();
    for (const auto& entry : order) {
      if (slot.finds.size() == slot_size) break;
      const auto i = entry.second;
      const auto same = [&](const auto& is_same) {
        return std::count_if(slot.finds.begin(), slot.finds.end(),
                             [&](int n) { return is_same(kept_[static_cast<std::size_t>(n)]); });
      };
      if (same([&](const Find& f) { return f.branch == all[i].branch; }) >=
              static_cast<std::ptrdiff_t>(of_one_branch) ||
          same([&](const Find& f) { return f.point == all[i].point; }) > 0)
        continue;
      if (number[i] < 0) {
        number[i] = static_cast<int>(kept_.size());
        kept_.push_back(all[i]);
      }
      slot.finds.push_back(number[i]);
    }
  }
}

BranchPoint Leaders::make_emigrant(const Find& parent, RandomStream& random) const {
  // Half of them into a branch that has leaders already.
  const auto other = random.uniform() < 0.5
                         ? random.below(branches_.size())
                         : static_cast<std::uint64_t>(kept_[random.below(kept_.size())].branch);
  return {static_cast<int>(other), bring(branches_[static_cast<std::size_t>(parent.branch)],
                                         parent.point, branches_[other], nullptr, 0, random)};
}

BranchPoint Leaders::make_slot_child(std::uint64_t index) const {
  RandomStream random(seed_, Purpose::propose, index);
  const Slot& slot = slots_[static_cast<std::size_t>(index % slots_.size())];
  const Find& parent = kept_[static_cast<std::size_t>(draw(slot.finds, random))];
  std::vector<const Find*> mates;
  for (const int near : slot.neighbours)
    for (const int i : slots_[static_cast<std::size_t>(near)].finds) {
      const Find* find = &kept_[static_cast<std::size_t>(i)];
      if (find->branch == parent.branch && find != &parent &&
          std::find(mates.begin(), mates.end(), find) == mates.end())
        mates.push_back(find);
    }
  return vary(parent, mates, random);
}

Leaders::Niche& Leaders::choose_niche() {
  double most = 0, total = 2;
  for (const Niche& niche : niches_) {
    most = std::max(most, measure_worth(niche.finds[0]));
    total += static_cast<double>(niche.asked) / niche_trial;
  }
  std::size_t best = 0;
  double best_bound = -1;
  for (std::size_t n = 0; n < niches_.size(); ++n) {
    const double share = most > 0 ? measure_worth(niches_[n].finds[0]) / most : 0;
    const double trials = static_cast<double>(niches_[n].asked) / niche_trial + 1;
    const double bound = share + niche_exploration * std::sqrt(std::log(total) / trials);
    if (!(bound > best_bound)) continue;
    best = n;
    best_bound = bound;
  }
  return niches_[best];
}

BranchPoint Leaders::make_niche_child(std::uint64_t index) {
  RandomStream random(seed_, Purpose::propose, index);
  Niche& niche = choose_niche();
  ++niche.asked;
  const Find& parent = draw(niche.finds, random);
  std::vector<const Find*> mates;
  for (const Find& find : niche.finds)
    if (find.branch == parent.branch && &find != &parent) mates.push_back(&find);
  return vary(parent, mates, random);
}

BranchPoint Leaders::vary(const Find& parent, const std::vector<const Find*>& mates,
                          RandomStream& random) const {
  if (random.uniform() < emigrant_share) return make_emigrant(parent, random);
  BranchPoint child{parent.branch, parent.point};
  const auto dimension = static_cast<double>(child.point.size());
  const double kind = random.uniform();
  if (mates.size() >= 3 && kind < 0.5) {
    const UnitPoint &best = draw(mates, random)->point,
                    &a = mates[random.below(mates.size())]->point,
                    &b = mates[random.below(mates.size())]->point;
    const double scale = random.uniform(0.3, 0.9), crossover = random.uniform(0.2, 1);
    for (std::size_t k = 0; k < child.point.size(); ++k)
      if (random.uniform() < crossover)
        child.point[k] = keep_inside(
            child.point[k] + scale * (best[k] - child.point[k]) + scale * (a[k] - b[k]), random);
    return child;
  }
  const double along = mates.empty() || kind > 0.8 ? 0 : 0.3 * random.normal();
  const UnitPoint& mate = mates.empty() ? parent.point : draw(mates, random)->point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double share = random.uniform() < 0.3 ? 1.0 : 2 / dimension;
  for (std::size_t k = 0; k < child.point.size(); ++k) {
    const double step = random.uniform() < share ? spread * random.normal() : 0;
    child.point[k] =
        keep_inside(child.point[k] + step + along * (mate[k] - child.point[k]), random);
  }
  return child;
}

std::vector<BranchPoint> Leaders::ask(int count) {
  std::vector<BranchPoint> children;
  for (int i = 0; i < count; ++i, ++next_) {
    const bool is_of_niche = RandomStream(seed_, Purpose::choose, next_).uniform() < niche_share;
    children.push_back(is_of_niche ? make_niche_child(next_) : make_slot_child(next_));
  }
  return children;
}

void Leaders::Niche::exchange(State& state) {
  state.exchange(panels);
  state.exchange(structure);
  state.exchange(asked);
  state.exchange(finds);
}

void Leaders::exchange(State& state) {
  state.exchange(next_);
  state.exchange(kept_);
  state.exchange(taken_);
  state.exchange(niches_);
  for (const Niche& niche : niches_)
    if (niche.finds.empty())
      throw std::invalid_argument("the checkpoint is damaged: a niche without leaders");
  for (Slot& slot : slots_) {
    state.exchange(slot.finds);
    for (const int i : slot.finds)
      if (!(0 <= i && static_cast<std::size_t>(i) < kept_.size()))
        throw std::invalid_argument("the checkpoint is damaged: a leader that there is not");
  }
}

}  // namespace sixtyfold
