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
constexpr std::size_t most_species = 20, species_size = 4;  // of a niche; of a species
constexpr double niche_share = 0.9;                         // of the children
constexpr double clear_radius = 0.05;  // root mean square of the coordinates' differences
constexpr double place_radius = 0.08;  // each coordinate of the plane
// Of the bound on a species' best: width, and children that count as one trial.
constexpr double species_exploration = 0.45, species_trial = 32;
constexpr double emigrant_share = 0.18, replanted_share = 0.08;  // of the children
constexpr double same_plane_share = 0.9, base_share = 0.5;       // of the emigrants
constexpr double least_spread = 0.002, largest_spread = 0.2;

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

/// How many of the parameters say how the plane lies; after them come the size and the outline's.
std::size_t count_of_plane(const Branch& branch) {
  return branch.parameters.size() - branch.outline->parameters.size() - 1;
}

/// One of them, the better ones more often.
template <class Finds>
auto& draw(const Finds& finds, RandomStream& random) {
  return finds[std::min(random.below(finds.size()), random.below(finds.size()))];
}

}  // namespace

Leaders::Leaders(const std::vector<Branch>& branches, const Goals& goals, std::uint64_t seed)
    : branches_(branches), seed_(seed), goals_(goals) {
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

void Leaders::take(const Find& find) {
  if (find.outcome.feasible() && is_sound(find.outcome)) taken_.push_back(find);
}

/// Volume of the box between the find and the criteria's worst: what it alone would give to the
/// hypervolume.
double Leaders::measure_worth(const Find& find) const {
  const Outcome& outcome = find.outcome;
  const Objectives& values = outcome.guides.empty() ? outcome.objectives : outcome.guides;
  double volume = 1;
  for (std::size_t k = 0; k < goals_.pareto.size(); ++k) {
    const Criterion& criterion = *goals_.pareto[k];
    const double value = values[k] * (criterion.more_is_better() ? -1 : 1);
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
  std::vector<std::vector<Find>> newcomers(niches_.size());
  for (const Find& find : taken_) {
    const int panels = branches_[static_cast<std::size_t>(find.branch)].scheme.panels();
    const auto is_its = [&](const Niche& niche) {
      return niche.panels == panels && niche.structure == find.outcome.structure;
    };
    const auto n = static_cast<std::size_t>(std::find_if(niches_.begin(), niches_.end(), is_its) -
                                            niches_.begin());
    if (n == niches_.size()) {
      niches_.push_back({panels, find.outcome.structure, {}});
      newcomers.emplace_back();
    }
    newcomers[n].push_back(find);
  }
  for (std::size_t n = 0; n < niches_.size(); ++n)
    if (!newcomers[n].empty()) part(niches_[n], std::move(newcomers[n]));
}

/// The planes lie alike in constructions of one kind of plane.
bool Leaders::lie_alike(const Find& a, const Find& b) const {
  const auto of_a = static_cast<std::size_t>(a.branch), of_b = static_cast<std::size_t>(b.branch);
  if (plane_of_[of_a] != plane_of_[of_b]) return false;
  for (std::size_t k = 0, count = count_of_plane(branches_[of_a]); k < count; ++k)
    if (!(std::abs(a.point[k] - b.point[k]) <= place_radius)) return false;
  return true;
}

/// Old and new finds together, the best first: each joins the species whose best lies alike, or
/// founds one. What was asked of a species goes with its best.
void Leaders::part(Niche& niche, std::vector<Find> newcomers) const {
  struct Entry {
    double worth;
    Find* find;
    std::uint64_t asked;
  };
  std::vector<Entry> order;
  for (Species& species : niche.species)
    for (Find& find : species.finds)
      order.push_back({measure_worth(find), &find, &find == &species.finds[0] ? species.asked : 0});
  for (Find& find : newcomers) order.push_back({measure_worth(find), &find, 0});
  // Of equals the newer first, so that leaders drift along plateaus.
  std::reverse(order.begin(), order.end());
  std::stable_sort(order.begin(), order.end(),
                   [](const Entry& a, const Entry& b) { return a.worth > b.worth; });
  std::vector<Species> parted;
  for (const Entry& entry : order) {
    const auto its = std::find_if(parted.begin(), parted.end(), [&](const Species& species) {
      return lie_alike(species.finds[0], *entry.find);
    });
    if (its == parted.end()) {
      if (parted.size() == most_species) continue;
      parted.push_back({entry.asked, {}});
      parted.back().finds.push_back(std::move(*entry.find));
      continue;
    }
    its->asked = std::max(its->asked, entry.asked);
    if (its->finds.size() < species_size &&
        std::none_of(its->finds.begin(), its->finds.end(),
                     [&](const Find& better) { return are_near(better, *entry.find); }))
      its->finds.push_back(std::move(*entry.find));
  }
  niche.species = std::move(parted);
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

int Leaders::choose_destination(int from, RandomStream& random) const {
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
BranchPoint Leaders::make_emigrant(const Find& parent, RandomStream& random) const {
  const int other = choose_destination(parent.branch, random);
  std::vector<const UnitPoint*> bases;
  if (random.uniform() < base_share) {
    for (const Niche& niche : niches_)
      for (const Species& species : niche.species)
        for (const Find& find : species.finds)
          if (find.branch == other) bases.push_back(&find.point);
  }
  const UnitPoint* base = bases.empty() ? nullptr : bases[random.below(bases.size())];
  const Branch &from = branches_[static_cast<std::size_t>(parent.branch)],
               &to = branches_[static_cast<std::size_t>(other)];
  return {other, bring(from, parent.point, to, base, 0, random)};
}

/// The parent's outline in any plane of its group that has as many copies.
BranchPoint Leaders::make_replanted(const Find& parent, RandomStream& random) const {
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

Leaders::Worths Leaders::measure_worths() const {
  Worths worths;
  for (const Niche& niche : niches_)
    for (const Species& species : niche.species)
      worths.of_species.push_back(measure_worth(species.finds[0]));
  std::vector<double> sorted = worths.of_species;
  std::sort(sorted.begin(), sorted.end());
  if (sorted.empty()) return worths;
  worths.most = sorted.back();
  worths.upper_quartile = sorted[3 * (sorted.size() - 1) / 4];
  return worths;
}

/// An upper confidence bound on the species' bests, whose worth counts from `base` on.
std::pair<const Leaders::Niche*, Leaders::Species*> Leaders::choose_species(const Worths& worths,
                                                                            double base) {
  double total = 2;
  for (const Niche& niche : niches_)
    for (const Species& species : niche.species)
      total += static_cast<double>(species.asked) / species_trial;
  const double log_total = std::log(total);
  std::pair<const Niche*, Species*> best{};
  double best_bound = -1;
  auto worth = worths.of_species.begin();
  for (Niche& niche : niches_)
    for (Species& species : niche.species) {
      const double share =
          worths.most > base ? std::max(0.0, (*worth - base) / (worths.most - base)) : 0;
      ++worth;
      const double trials = static_cast<double>(species.asked) / species_trial + 1;
      const double bound = share + species_exploration * std::sqrt(log_total / trials);
      if (!(bound > best_bound)) continue;
      best = {&niche, &species};
      best_bound = bound;
    }
  return best;
}

BranchPoint Leaders::make_niche_child(std::uint64_t index, const Worths& worths) {
  RandomStream random(seed_, Purpose::propose, index);
  // Every second time from the upper quartile on, else a hundred nearly equal ones would share the
  // children evenly.
  const auto chosen = choose_species(worths, index % 2 == 1 ? worths.upper_quartile : 0);
  Species& species = *chosen.second;
  ++species.asked;
  const Find& parent = draw(species.finds, random);
  std::vector<const Find*> mates;
  const auto add_mates = [&](const Species& of) {
    for (const Find& find : of.finds)
      if (find.branch == parent.branch && &find != &parent) mates.push_back(&find);
  };
  add_mates(species);
  if (mates.size() < 3)
    for (const Species& other : chosen.first->species)
      if (&other != &species) add_mates(other);
  return vary(parent, mates, random);
}

BranchPoint Leaders::vary(const Find& parent, const std::vector<const Find*>& mates,
                          RandomStream& random) const {
  const double way = random.uniform();
  if (way < emigrant_share) return make_emigrant(parent, random);
  if (way < emigrant_share + replanted_share) return make_replanted(parent, random);
  BranchPoint child{parent.branch, parent.point};
  const auto dimension = static_cast<double>(child.point.size());
  const double kind = random.uniform();
  if (mates.size() >= 3 && kind < 0.3) {
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
  const double along = mates.empty() || kind > 0.6 ? 0 : 0.3 * random.normal();
  const UnitPoint& mate = mates.empty() ? parent.point : draw(mates, random)->point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double share = random.uniform() < 0.5 ? 1.0 : 3 / dimension;
  for (std::size_t k = 0; k < child.point.size(); ++k) {
    const double step = random.uniform() < share ? spread * random.normal() : 0;
    child.point[k] =
        keep_inside(child.point[k] + step + along * (mate[k] - child.point[k]), random);
  }
  return child;
}

std::vector<BranchPoint> Leaders::ask(int count) {
  std::vector<BranchPoint> children;
  const Worths worths = measure_worths();
  for (int i = 0; i < count; ++i, ++next_) {
    const bool is_of_niche = RandomStream(seed_, Purpose::choose, next_).uniform() < niche_share;
    children.push_back(is_of_niche ? make_niche_child(next_, worths) : make_slot_child(next_));
  }
  return children;
}

void Leaders::Species::exchange(State& state) {
  state.exchange(asked);
  state.exchange(finds);
  if (finds.empty())
    throw std::invalid_argument("the checkpoint is damaged: a species without leaders");
}

void Leaders::Niche::exchange(State& state) {
  state.exchange(panels);
  state.exchange(structure);
  state.exchange(species);
  if (species.empty())
    throw std::invalid_argument("the checkpoint is damaged: a niche without leaders");
}

void Leaders::exchange(State& state) {
  state.exchange(next_);
  state.exchange(kept_);
  state.exchange(taken_);
  state.exchange(niches_);
  const auto check = [&](const std::vector<Find>& finds) {
    for (const Find& find : finds) {
      const std::size_t guides = find.outcome.guides.size(), objectives = goals_.pareto.size();
      if (find.outcome.objectives.size() != objectives || (guides != 0 && guides != objectives))
        throw std::invalid_argument("the checkpoint is damaged: a leader without its criteria");
    }
  };
  check(kept_);
  check(taken_);
  for (const Niche& niche : niches_)
    for (const Species& species : niche.species) check(species.finds);
  for (Slot& slot : slots_) {
    state.exchange(slot.finds);
    for (const int i : slot.finds)
      if (!(0 <= i && static_cast<std::size_t>(i) < kept_.size()))
        throw std::invalid_argument("the checkpoint is damaged: a leader that there is not");
  }
}

}  // namespace sixtyfold
