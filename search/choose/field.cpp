#include "search/choose/field.h"

#include <algorithm>
#include <numeric>
#include <tuple>

namespace sixtyfold {

namespace {

constexpr std::size_t most_considered = 3000;
// Where the appeal is but a bound, for each candidate that is wanted.
constexpr std::size_t considered_per_candidate = 50, least_considered = 800;
constexpr double far_apart = 0.6;  // beyond this more difference is no more variety
constexpr double variety_weight = 0.5;
constexpr double rounding = 1e-12;  // of a quality, as a share

/// Best first: by the front they lie on, which comes back, then by quality.
std::vector<int> sort_finds(const SearchTask& task, std::vector<Find>& finds) {
  std::vector<int> ranks(finds.size(), 0);
  if (!task.goals.pareto.empty()) {
    std::vector<Objectives> objectives;
    for (const Find& find : finds) objectives.push_back(find.outcome.objectives);
    ranks = find_front_ranks(objectives);
  }
  std::vector<std::size_t> order(finds.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return ranks[a] != ranks[b] ? ranks[a] < ranks[b]
                                : finds[a].outcome.quality > finds[b].outcome.quality;
  });
  std::vector<Find> sorted;
  std::vector<int> sorted_ranks;
  for (const std::size_t i : order) {
    sorted.push_back(std::move(finds[i]));
    sorted_ranks.push_back(ranks[i]);
  }
  finds = std::move(sorted);
  return sorted_ranks;
}

/// Whether a find can be better than is known so far: a bound from above on the appeal.
bool may_rise(const Goals& goals) {
  return std::any_of(goals.bounds.begin(), goals.bounds.end(),
                     [](const Bound& bound) { return bound.criterion->name == "appeal"; });
}

}  // namespace

Field::Field(const SearchTask& task, Judge& judge, std::vector<Find> finds)
    : task_(task), judge_(judge), finds_(std::move(finds)), ranks_(sort_finds(task, finds_)) {
  const bool is_bound = task.goals.ask_for_appeal();
  const std::size_t most =
      is_bound ? std::clamp(considered_per_candidate * static_cast<std::size_t>(task.count),
                            least_considered, most_considered)
               : most_considered;
  if (finds_.size() > most) finds_.resize(most);
  whole_.assign(finds_.size(), !is_bound);
  if (is_bound && (!task.goals.pareto.empty() || may_rise(task.goals))) {
    std::vector<std::size_t> all(finds_.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    make_whole(all);
    ranks_ = sort_finds(task, finds_);
  }
  std::vector<const Find*> unknown;
  for (const Find& find : finds_)
    if (!judge.of(find).signature) unknown.push_back(&find);
  judge.add_signatures(task, unknown);
  for (const Find& find : finds_) signatures_.push_back(&*judge.of(find).signature);
  const std::size_t best = find_highest(std::vector<Standing>(finds_.size()),
                                        [](auto&, double quality) { return quality; });
  if (best < finds_.size() && finds_[best].outcome.quality > 0) top_ = finds_[best].outcome.quality;
}

std::vector<Standing> Field::make_standings() const {
  std::vector<Standing> standings(finds_.size());
  for (std::size_t i = 0; i < finds_.size(); ++i) {
    const Branch& branch = task_.branches[static_cast<std::size_t>(finds_[i].branch)];
    standings[i].rank = ranks_[i];
    standings[i].is_small = branch.scheme.panels() < few_panels;
  }
  return standings;
}

void Field::make_whole(const std::vector<std::size_t>& numbers) {
  std::vector<const Find*> unknown;
  for (const std::size_t i : numbers)
    if (!judge_.of(finds_[i]).whole) unknown.push_back(&finds_[i]);
  judge_.make_whole(task_, unknown);
  for (const std::size_t i : numbers) {
    finds_[i].outcome = *judge_.of(finds_[i]).whole;
    whole_[i] = true;
  }
}

/// Of merit, which grows with the quality; of equal ones the one of higher quality, then the first.
template <typename Merit>
std::size_t Field::find_highest(const std::vector<Standing>& standings, const Merit& merit) {
  using Key = std::tuple<int, double, bool, double>;
  const std::size_t at_once = 2 * static_cast<std::size_t>(judge_.threads());
  std::vector<std::pair<Key, std::size_t>> bounds;
  for (;;) {
    std::size_t best = finds_.size();
    Key best_key;
    bounds.clear();
    for (std::size_t i = 0; i < finds_.size(); ++i) {
      if (standings[i].gone) continue;
      const double quality = finds_[i].outcome.quality * (whole_[i] ? 1 : 1 + rounding);
      const Key key{-standings[i].rank, merit(standings[i], quality), !whole_[i], quality};
      if (!whole_[i]) bounds.push_back({key, i});
      if (best < finds_.size() && !(key > best_key)) continue;
      best = i;
      best_key = key;
    }
    if (best == finds_.size() || whole_[best]) return best;
    // Those that would have to be looked at next are looked at together.
    const std::size_t count = std::min(at_once, bounds.size());
    const auto end = bounds.begin() + static_cast<std::ptrdiff_t>(count);
    std::partial_sort(bounds.begin(), end, bounds.end(), std::greater<>());
    std::vector<std::size_t> together;
    for (auto one = bounds.begin(); one != end; ++one) together.push_back(one->second);
    make_whole(together);
  }
}

std::size_t Field::find_next(const std::vector<Standing>& standings) {
  return find_highest(standings, [&](const Standing& standing, double quality) {
    const double variety = std::min(1.0, standing.nearest / far_apart);
    return (1 - variety_weight) * quality / top_ + variety_weight * variety;
  });
}

std::uint64_t Field::choose(std::vector<Standing>& standings, std::size_t choice) const {
  std::uint64_t dropped = 0;
  const Objectives& objectives = finds_[choice].outcome.objectives;
  standings[choice].gone = true;
  for (std::size_t i = 0; i < standings.size(); ++i) {
    Standing& one = standings[i];
    if (one.gone) continue;
    one.nearest = std::min(one.nearest, measure_difference(*signatures_[i], *signatures_[choice]));
    one.gone = one.nearest < near_duplicate;
    dropped += one.gone;
    if (objectives.size() > 1 && dominates(objectives, finds_[i].outcome.objectives))
      one.gone = true;
  }
  return dropped;
}

void Field::settle(std::size_t find, double quality) {
  finds_[find].outcome.quality = quality;
  whole_[find] = true;
}

}  // namespace sixtyfold
