#include "search/leaders.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "search/proposer.h"
#include "search/random.h"
#include "search/ranking.h"

namespace sixtyfold {
namespace {

constexpr std::size_t slot_size = 24, of_one_branch = 6, neighbour_count = 6;
constexpr double emigrant_share = 0.1;
constexpr double least_spread = 0.002, largest_spread = 0.1;

/// Past a wall of [0, 1]: as often onto it, where fronts often lie, as folded back.
double keep_inside(double value, RandomStream& random) {
  if (0 <= value && value <= 1) return value;
  if (random.uniform() < 0.5) return value < 0 ? 0 : 1;
  return reflect(value);
}

}  // namespace

Leaders::Leaders(const std::vector<Branch>& branches, std::size_t objectives, std::uint64_t seed)
    : branches_(branches), seed_(seed) {
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

void Leaders::settle() {
  if (slots_.empty()) return;
  std::vector<Find> all = std::move(kept_);
  std::move(taken_.begin(), taken_.end(), std::back_inserter(all));
  taken_.clear();
  kept_.clear();
  if (all.empty()) return;
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
    for (std::size_t i = 0; i < all.size(); ++i) {
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
    for (const auto& [value, i] : order) {
      if (slot.finds.size() == slot_size) break;
      const auto same = [&](const auto& is_same) {
        return std::count_if(slot.finds.begin(), slot.finds.end(), [&](int n) {
          return is_same(kept_[static_cast<std::size_t>(n)]);
        });
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

Leaders::Child Leaders::make_emigrant(const Find& parent, RandomStream& random) const {
  // Half of them into a branch that has leaders already.
  const auto other = random.uniform() < 0.5
                         ? random.below(branches_.size())
                         : static_cast<std::uint64_t>(kept_[random.below(kept_.size())].branch);
  const Branch &from = branches_[static_cast<std::size_t>(parent.branch)], &to = branches_[other];
  Child child{static_cast<int>(other), UnitPoint(to.parameters.size())};
  for (std::size_t k = 0; k < to.parameters.size(); ++k) {
    child.point[k] = random.uniform();
    for (std::size_t i = 0; i < from.parameters.size(); ++i)
      if (from.parameters[i].name == to.parameters[k].name) child.point[k] = parent.point[i];
  }
  return child;
}

Leaders::Child Leaders::make_child(std::uint64_t index) const {
  RandomStream random(seed_, Purpose::propose, index);
  const auto draw = [&](const std::vector<const Find*>& finds) -> const Find& {
    return *finds[std::min(random.below(finds.size()), random.below(finds.size()))];
  };
  const Slot& slot = slots_[static_cast<std::size_t>(index % slots_.size())];
  std::vector<const Find*> own, mates;
  for (const int i : slot.finds) own.push_back(&kept_[static_cast<std::size_t>(i)]);
  const Find& parent = draw(own);
  if (random.uniform() < emigrant_share) return make_emigrant(parent, random);

  for (const int near : slot.neighbours)
    for (const int i : slots_[static_cast<std::size_t>(near)].finds) {
      const Find* find = &kept_[static_cast<std::size_t>(i)];
      if (find->branch == parent.branch && find != &parent &&
          std::find(mates.begin(), mates.end(), find) == mates.end())
        mates.push_back(find);
    }
  Child child{parent.branch, parent.point};
  const auto dimension = static_cast<double>(child.point.size());
  const double kind = random.uniform();
  if (mates.size() >= 3 && kind < 0.5) {
    const UnitPoint &best = draw(mates).point, &a = mates[random.below(mates.size())]->point,
                    &b = mates[random.below(mates.size())]->point;
    const double scale = random.uniform(0.3, 0.9), crossover = random.uniform(0.2, 1);
    for (std::size_t k = 0; k < child.point.size(); ++k)
      if (random.uniform() < crossover)
        child.point[k] = keep_inside(child.point[k] + scale * (best[k] - child.point[k]) +
                                         scale * (a[k] - b[k]),
                                     random);
    return child;
  }
  const double along = mates.empty() || kind > 0.8 ? 0 : 0.3 * random.normal();
  const UnitPoint& mate = mates.empty() ? parent.point : draw(mates).point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double share = random.uniform() < 0.3 ? 1.0 : 2 / dimension;
  for (std::size_t k = 0; k < child.point.size(); ++k) {
    const double step = random.uniform() < share ? spread * random.normal() : 0;
    child.point[k] =
        keep_inside(child.point[k] + step + along * (mate[k] - child.point[k]), random);
  }
  return child;
}

std::vector<Leaders::Child> Leaders::ask(int count) {
  std::vector<Child> children;
  for (int i = 0; i < count; ++i) children.push_back(make_child(next_++));
  return children;
}

void Leaders::exchange(State& state) {
  state.exchange(next_);
  state.exchange(kept_);
  state.exchange(taken_);
  for (Slot& slot : slots_) {
    state.exchange(slot.finds);
    for (const int i : slot.finds)
      if (!(0 <= i && static_cast<std::size_t>(i) < kept_.size()))
        throw std::invalid_argument("the checkpoint is damaged: a leader that there is not");
  }
}

}  // namespace sixtyfold
