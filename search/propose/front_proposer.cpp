#include "search/propose/front_proposer.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>

#include "engine/random.h"
#include "search/propose/transfer_point.h"

namespace sixtyfold {
namespace {

constexpr std::size_t most_of_panels = 100, most_of_branch = 20;
constexpr double branch_share = 0.2;                             // of the children
constexpr double rungs_share = 0.8;                              // of the others
constexpr double emigrant_share = 0.18, replanted_share = 0.08;  // of the children
constexpr double same_plane_share = 0.9, base_share = 0.5;       // of the emigrants
constexpr double evolved_share = 0.5, mated_share = 0.6;         // of the others; of their steps
constexpr std::size_t enough_mates = 3, borrowed_mates = 6;
constexpr double jitter = 0.005;  // of the evolved
constexpr double least_spread = 0.002, largest_spread = 0.2;
// Of the bandits. What comes onto a rung or into the front of a branch alone counts less.
constexpr double exploration = 0.1, panels_discount = 0.998, memory_of_branch = 20;
constexpr double reward_of_next = 0.3;

/// Past a wall of [0, 1]: as often onto it, where fronts often lie, as folded back.
double keep_inside(double value, RandomStream& random) {
  if (0 <= value && value <= 1) return value;
  if (random.uniform() < 0.5) return value < 0 ? 0 : 1;
  return reflect(value);
}

/// How many of the parameters say how the plane lies; after them come the size, the outline's and
/// the windows'.
std::size_t count_of_plane(const Branch& branch) {
  return branch.parameters.size() - branch.outline->parameters.size() - 1 -
         (branch.has_windows ? 1 : 0);
}

UnitPoint evolve(const UnitPoint& parent, const std::vector<const UnitPoint*>& mates,
                 RandomStream& random) {
  UnitPoint child = parent;
  const UnitPoint &to = *mates[random.below(mates.size())], &a = *mates[random.below(mates.size())],
                  &b = *mates[random.below(mates.size())];
  const double scale = random.uniform(0.4, 1.1), crossover = random.uniform(0.6, 1);
  for (std::size_t k = 0; k < child.size(); ++k) {
    if (!(random.uniform() < crossover)) continue;
    child[k] = keep_inside(
        child[k] + scale * (to[k] - child[k] + a[k] - b[k]) + jitter * random.normal(), random);
  }
  return child;
}

UnitPoint step(const UnitPoint& parent, const std::vector<const UnitPoint*>& mates,
               RandomStream& random) {
  UnitPoint child = parent;
  const double along = mates.empty() || random.uniform() > mated_share ? 0 : 0.3 * random.normal();
  const UnitPoint& mate = mates.empty() ? parent : *mates[random.below(mates.size())];
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double share = random.uniform() < 0.5 ? 1.0 : 3 / static_cast<double>(child.size());
  for (std::size_t k = 0; k < child.size(); ++k) {
    const double away = random.uniform() < share ? spread * random.normal() : 0;
    child[k] = keep_inside(child[k] + away + along * (mate[k] - child[k]), random);
  }
  if (child == parent) {  // to score that again would tell nothing
    double& value = child[random.below(child.size())];
    value = keep_inside(value + spread * random.normal(), random);
  }
  return child;
}

/// Numbers of panels, each once.
std::vector<int> find_panel_numbers(const std::vector<Branch>& branches) {
  std::vector<int> numbers;
  for (const Branch& branch : branches) numbers.push_back(branch.scheme.panels());
  std::sort(numbers.begin(), numbers.end());
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
  return numbers;
}

/// The front of that number, or when it is empty the next one that is not, from a random one on.
const Front& choose_front(const std::vector<Front>& fronts, int number, RandomStream& random) {
  auto i = static_cast<std::size_t>(number);
  if (fronts[i].finds().empty()) i = random.below(fronts.size());
  while (fronts[i].finds().empty()) i = (i + 1) % fronts.size();
  return fronts[i];
}

}  // namespace

FrontProposer::FrontProposer(const std::vector<Branch>& branches, const Goals& goals,
                             std::uint64_t seed)
    : branches_(branches),
      goals_(goals),
      seed_(seed),
      of_panels_(find_panel_numbers(branches).size(), Front(By::objectives, most_of_panels)),
      of_branches_(branches.size(), Front(By::guides, most_of_branch)),
      rungs_(of_panels_.size(), Rungs(goals)),
      which_panels_(static_cast<int>(of_panels_.size()), {panels_discount, exploration}),
      which_branch_(
          static_cast<int>(branches.size()),
          {1 - 1 / (memory_of_branch * static_cast<double>(branches.size() + 1)), exploration}) {
  const std::vector<int> numbers = find_panel_numbers(branches);
  for (const Branch& branch : branches)
    panels_of_.push_back(static_cast<int>(
        std::find(numbers.begin(), numbers.end(), branch.scheme.panels()) - numbers.begin()));
}

bool FrontProposer::can_ask() const {
  return std::any_of(of_panels_.begin(), of_panels_.end(),
                     [](const Front& front) { return !front.finds().empty(); });
}

const std::vector<FrontProposer::Asked>& FrontProposer::ask(int count) {
  assert(count == 0 || can_ask());
  asked_.clear();
  for (int i = 0; i < count; ++i, ++next_) {
    const bool of_branch = RandomStream(seed_, Purpose::choose, next_).uniform() < branch_share;
    asked_.push_back(
        {of_branch, of_branch ? which_branch_.choose() : which_panels_.choose(), next_});
  }
  return asked_;
}

const Find& FrontProposer::choose_parent(const Asked& asked, RandomStream& random) const {
  const auto choose = [&](const std::vector<Find>& finds) -> const Find& {
    return finds[random.below(finds.size())];
  };
  const std::vector<Front>& fronts = asked.of_branch ? of_branches_ : of_panels_;
  const Find& parent = choose(choose_front(fronts, asked.front, random).finds());
  if (asked.of_branch || random.uniform() > rungs_share) return parent;
  return choose(
      rungs_[static_cast<std::size_t>(panels_of_[static_cast<std::size_t>(parent.branch)])]
          .finds());
}

BranchPoint FrontProposer::make_point(const Asked& asked, const BranchArchives& archives) const {
  RandomStream random(seed_, Purpose::propose, asked.index);
  const Find& parent = choose_parent(asked, random);
  const double way = random.uniform();
  if (way < emigrant_share + replanted_share) {
    BranchPoint child = way < emigrant_share ? make_emigrant(parent, archives, random)
                                             : make_replanted(parent, random);
    // The parent itself: its own outline again, or its only plane.
    if (child.branch != parent.branch || child.point != parent.point) return child;
  }
  const Mates mates = find_mates(parent, archives, random);
  const bool is_evolved = mates.size() >= enough_mates && random.uniform() < evolved_share;
  return {parent.branch,
          is_evolved ? evolve(parent.point, mates, random) : step(parent.point, mates, random)};
}

/// Those of its branch in both fronts and on the rungs; when they are few, elites of its archive,
/// too.
FrontProposer::Mates FrontProposer::find_mates(const Find& parent, const BranchArchives& archives,
                                               RandomStream& random) const {
  const auto branch = static_cast<std::size_t>(parent.branch);
  Mates mates;
  const auto add = [&](const std::vector<Find>& finds) {
    for (const Find& find : finds)
      if (find.branch == parent.branch && find.point != parent.point) mates.push_back(&find.point);
  };
  const auto panels = static_cast<std::size_t>(panels_of_[branch]);
  add(of_panels_[panels].finds());
  add(of_branches_[branch].finds());
  add(rungs_[panels].finds());
  const std::vector<Trial>& elites = archives[branch]->elites();
  if (mates.size() < enough_mates && !elites.empty())
    for (std::size_t i = 0; i < borrowed_mates; ++i)
      mates.push_back(&elites[random.below(elites.size())].point);
  return mates;
}

/// The outline is that of an elite of the other branch, or random.
BranchPoint FrontProposer::make_emigrant(const Find& parent, const BranchArchives& archives,
                                         RandomStream& random) const {
  const Branch& from = branches_[static_cast<std::size_t>(parent.branch)];
  std::size_t other = random.below(branches_.size());
  if (random.uniform() < same_plane_share) {
    std::vector<std::size_t> alike;  // itself, too: another outline of its own family
    for (std::size_t b = 0; b < branches_.size(); ++b)
      if (branches_[b].symmetry == from.symmetry && branches_[b].plane == from.plane)
        alike.push_back(b);
    other = alike[random.below(alike.size())];
  }
  const std::vector<Trial>& elites = archives[other]->elites();
  const UnitPoint* base = !elites.empty() && random.uniform() < base_share
                              ? &elites[random.below(elites.size())].point
                              : nullptr;
  return {static_cast<int>(other),
          transfer_point(from, parent.point, branches_[other], base, 0, random)};
}

/// The parent's outline in any plane of its group that has as many copies.
BranchPoint FrontProposer::make_replanted(const Find& parent, RandomStream& random) const {
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

void FrontProposer::tell(const std::vector<Scored>& scored) {
  assert(scored.size() >= asked_.size());
  for (std::size_t i = 0; i < scored.size(); ++i) {
    const auto branch = static_cast<std::size_t>(scored[i].branch);
    const Find find{scored[i].branch, scored[i].trial.point, scored[i].trial.outcome};
    const auto panels = static_cast<std::size_t>(panels_of_[branch]);
    const bool is_best = of_panels_[panels].take(find);
    const bool is_on_rung = rungs_[panels].take(find);
    const bool is_best_of_branch = of_branches_[branch].take(find);
    if (i >= asked_.size()) continue;
    if (asked_[i].of_branch)
      which_branch_.reward(asked_[i].front, is_best ? 1 : is_best_of_branch ? reward_of_next : 0);
    else
      which_panels_.reward(asked_[i].front, is_best ? 1 : is_on_rung ? reward_of_next : 0);
  }
  asked_.clear();
}

std::vector<const Front*> FrontProposer::fronts() const {
  std::vector<const Front*> fronts;
  for (const Front& front : of_panels_) fronts.push_back(&front);
  return fronts;
}

void FrontProposer::Asked::exchange(State& state) {
  state.exchange(of_branch);
  state.exchange(front);
  state.exchange(index);
}

/// What was taken is on three of them, so that none is empty where another is not.
void FrontProposer::check_all_have_parents() const {
  std::vector<bool> has_branch(of_panels_.size(), false);
  for (std::size_t b = 0; b < of_branches_.size(); ++b)
    if (!of_branches_[b].finds().empty())
      has_branch[static_cast<std::size_t>(panels_of_[b])] = true;
  for (std::size_t i = 0; i < of_panels_.size(); ++i)
    if (of_panels_[i].finds().empty() != rungs_[i].finds().empty() ||
        of_panels_[i].finds().empty() == has_branch[i])
      throw std::invalid_argument("the checkpoint is damaged: a front that came from nothing");
}

void FrontProposer::exchange(State& state) {
  state.exchange(next_);
  const auto exchange_all = [&](auto& all, const auto& place_of) {
    for (std::size_t place = 0; place < all.size(); ++place) {
      state.exchange(all[place]);
      for (const Find& find : all[place].finds()) {
        check_restored(find, branches_, goals_);
        if (place_of(find.branch) != static_cast<int>(place))
          throw std::invalid_argument("the checkpoint is damaged: a find on another's front");
      }
    }
  };
  const auto panels_of = [&](int branch) { return panels_of_[static_cast<std::size_t>(branch)]; };
  exchange_all(of_panels_, panels_of);
  exchange_all(of_branches_, [](int branch) { return branch; });
  exchange_all(rungs_, panels_of);
  if (state.reading()) check_all_have_parents();
  state.exchange(which_panels_);
  state.exchange(which_branch_);
  state.exchange(asked_);
}

}  // namespace sixtyfold
