#include "search/propose/pareto_leaders.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/random.h"
#include "search/propose/proposer.h"
#include "search/propose/transfer_point.h"
#include "search/space/ranking.h"

namespace sixtyfold {
namespace {

constexpr std::size_t slot_size = 24, of_one_branch = 6, neighbour_count = 6;
constexpr double niche_share = 0.95;                             // of the children
constexpr double emigrant_share = 0.18, replanted_share = 0.08;  // of the children
constexpr double same_plane_share = 0.9, base_share = 0.5;       // of the emigrants
constexpr double evolved_share = 0.5, mated_share = 0.6;         // of the others; of their steps
constexpr double jitter = 0.005;                                 // of the evolved
constexpr double least_spread = 0.002, largest_spread = 0.2;

/// Past a wall of [0, 1]: as often onto it, where fronts often lie, as folded back.
double keep_inside(double value, RandomStream& random) {
  if (0 <= value && value <= 1) return value;
  if (random.uniform() < 0.5) return value < 0 ? 0 : 1;
  return reflect(value);
}

/// How many of the parameters say how the plane lies; after them come the size and the outline's.
std::size_t count_of_plane(const Branch& branch) {
  return branch.parameters.size() - branch.outline->parameters.size() - 1;
}

/// The best of so many drawn, so that better ones come more often.
template <class Finds>
auto& draw(const Finds& finds, RandomStream& random, int drawn = 2) {
  std::uint64_t best = random.below(finds.size());
  for (int i = 1; i < drawn; ++i) best = std::min(best, random.below(finds.size()));
  return finds[best];
}

}  // namespace

ParetoLeaders::ParetoLeaders(const std::vector<Branch>& branches, const Goals& goals,
                             std::uint64_t seed)
    : branches_(branches), seed_(seed), goals_(goals), niches_(branches, goals) {
  for (const Branch& branch : branches)
    plane_of_.push_back(std::find_if(branches.begin(), branches.end(),
                                     [&](const Branch& other) {
                                       return other.symmetry == branch.symmetry &&
                                              other.plane == branch.plane;
                                     }) -
                        branches.begin());
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

void ParetoLeaders::take(const Find& find) {
  if (find.outcome.feasible() && is_sound(find.outcome)) taken_.push_back(find);
}

void ParetoLeaders::settle() {
  if (slots_.empty() || taken_.empty()) return;
  niches_.take(taken_);
  settle_slots();
  taken_.clear();
}

void ParetoLeaders::settle_slots() {
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

int ParetoLeaders::choose_destination(int from, RandomStream& random) const {
  if (random.uniform() < same_plane_share) {
    std::vector<int> alike;  // itself, too: another outline of its own family
    for (std::size_t b = 0; b < branches_.size(); ++b)
      if (plane_of_[b] == plane_of_[static_cast<std::size_t>(from)])
        alike.push_back(static_cast<int>(b));
    return alike[random.below(alike.size())];
  }
  // Half of the others into a branch that has leaders already.
  return random.uniform() < 0.5 ? static_cast<int>(random.below(branches_.size()))
                                : kept_[random.below(kept_.size())].branch;
}

/// The outline is that of a leader of the other branch, or random.
BranchPoint ParetoLeaders::make_emigrant(const Find& parent, RandomStream& random) const {
  const int other = choose_destination(parent.branch, random);
  std::vector<const UnitPoint*> bases;
  if (random.uniform() < base_share) {
    for (const Niches::Niche& niche : niches_.all())
      for (const Niches::Species& species : niche.species)
        for (const Niches::Leader& leader : species.leaders)
          if (leader.find.branch == other) bases.push_back(&leader.find.point);
  }
  const UnitPoint* base = bases.empty() ? nullptr : bases[random.below(bases.size())];
  const Branch &from = branches_[static_cast<std::size_t>(parent.branch)],
               &to = branches_[static_cast<std::size_t>(other)];
  return {other, transfer_point(from, parent.point, to, base, 0, random)};
}

/// The parent's outline in any plane of its group that has as many copies.
BranchPoint ParetoLeaders::make_replanted(const Find& parent, RandomStream& random) const {
  const Branch& from = branches_[static_cast<std::size_t>(parent.branch)];
  std::vector<std::size_t> places;
  for (std::size_t b = 0; b < branches_.size(); ++b)
    if (branches_[b].symmetry == from.symmetry && branches_[b].family == from.family &&
        branches_[b].scheme.panels() == from.scheme.panels())
      places.push_back(b);
  const std::size_t other = places[random.below(places.size())];
  UnitPoint point(branches_[other].parameters.size());
  const std::size_t kept = from.parameters.size() - count_of_plane(from);
  for (std::size_t k = 0; k + kept < point.size(); ++k) point[k] = random.uniform();
  std::copy(parent.point.end() - static_cast<std::ptrdiff_t>(kept), parent.point.end(),
            point.end() - static_cast<std::ptrdiff_t>(kept));
  return {static_cast<int>(other), std::move(point)};
}

BranchPoint ParetoLeaders::make_slot_child(std::uint64_t index) const {
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

BranchPoint ParetoLeaders::make_niche_child(std::uint64_t index, const Niches::Promises& promises) {
  // Every second time from the upper quartile on, else a hundred nearly equal ones would share the
  // children evenly.
  const auto [niche, species] =
      niches_.choose(promises, index % 2 == 1 ? promises.upper_quartile : 0);
  if (!species) return make_slot_child(index);
  RandomStream random(seed_, Purpose::propose, index);
  const Find& parent = draw(species->leaders, random, 4).find;
  std::vector<const Find*> mates;
  const auto add_mates = [&](const Niches::Species& of) {
    for (const Niches::Leader& leader : of.leaders)
      if (leader.find.branch == parent.branch && &leader.find != &parent)
        mates.push_back(&leader.find);
  };
  add_mates(*species);
  if (mates.size() < 3)
    for (const Niches::Species& other : niche->species)
      if (&other != species) add_mates(other);
  return vary(parent, mates, random);
}

BranchPoint ParetoLeaders::vary(const Find& parent, const std::vector<const Find*>& mates,
                                RandomStream& random) const {
  const double way = random.uniform();
  if (way < emigrant_share + replanted_share) {
    BranchPoint child =
        way < emigrant_share ? make_emigrant(parent, random) : make_replanted(parent, random);
    // The parent itself: its own outline again, or its only plane.
    if (child.branch != parent.branch || child.point != parent.point) return child;
  }
  return mates.size() >= 3 && random.uniform() < evolved_share ? evolve(parent, mates, random)
                                                               : step(parent, mates, random);
}

BranchPoint ParetoLeaders::evolve(const Find& parent, const std::vector<const Find*>& mates,
                                  RandomStream& random) const {
  BranchPoint child{parent.branch, parent.point};
  const UnitPoint &best = mates[random.below(std::max<std::size_t>(1, mates.size() / 2))]->point,
                  &a = mates[random.below(mates.size())]->point,
                  &b = mates[random.below(mates.size())]->point;
  const double scale = random.uniform(0.4, 1.1), crossover = random.uniform(0.6, 1);
  for (std::size_t k = 0; k < child.point.size(); ++k) {
    if (!(random.uniform() < crossover)) continue;
    const double value = child.point[k] + scale * (best[k] - child.point[k]) +
                         scale * (a[k] - b[k]) + jitter * random.normal();
    child.point[k] = keep_inside(value, random);
  }
  return child;
}

BranchPoint ParetoLeaders::step(const Find& parent, const std::vector<const Find*>& mates,
                                RandomStream& random) const {
  BranchPoint child{parent.branch, parent.point};
  const double along = mates.empty() || random.uniform() > mated_share ? 0 : 0.3 * random.normal();
  const UnitPoint& mate = mates.empty() ? parent.point : draw(mates, random)->point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double share = random.uniform() < 0.5 ? 1.0 : 3 / static_cast<double>(child.point.size());
  for (std::size_t k = 0; k < child.point.size(); ++k) {
    const double away = random.uniform() < share ? spread * random.normal() : 0;
    child.point[k] =
        keep_inside(child.point[k] + away + along * (mate[k] - child.point[k]), random);
  }
  if (child.point == parent.point) {  // to score that again would tell nothing
    double& value = child.point[random.below(child.point.size())];
    value = keep_inside(value + spread * random.normal(), random);
  }
  return child;
}

std::vector<BranchPoint> ParetoLeaders::ask(int count) {
  std::vector<BranchPoint> children;
  const Niches::Promises promises = niches_.measure_promises();
  for (int i = 0; i < count; ++i, ++next_) {
    const bool is_of_niche = RandomStream(seed_, Purpose::choose, next_).uniform() < niche_share;
    children.push_back(is_of_niche ? make_niche_child(next_, promises) : make_slot_child(next_));
  }
  return children;
}

void ParetoLeaders::exchange(State& state) {
  state.exchange(next_);
  state.exchange(kept_);
  state.exchange(taken_);
  state.exchange(niches_);
  for (const Find& find : kept_) check_restored(find, branches_, goals_);
  for (const Find& find : taken_) check_restored(find, branches_, goals_);
  for (Slot& slot : slots_) {
    state.exchange(slot.finds);
    if (slot.finds.empty() && !kept_.empty())
      throw std::invalid_argument("the checkpoint is damaged: a slot without leaders");
    for (const int i : slot.finds)
      if (!(0 <= i && static_cast<std::size_t>(i) < kept_.size()))
        throw std::invalid_argument("the checkpoint is damaged: a leader that there is not");
  }
}

}  // namespace sixtyfold
