#include "search/propose/niches.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "search/space/ranking.h"

namespace sixtyfold {
namespace {

// Of a niche; resting ones are kept beside those that are still asked. Of a species.
constexpr std::size_t most_asked = 20, most_resting = 60, most_leaders = 16;
constexpr double clear_radius = 0.03;  // root mean square of the coordinates' differences
// Chords of the unit sphere: 11 degrees between normals, 29 between hubs.
constexpr double normal_radius = 0.2, hub_radius = 0.5;
// Of the bound on a species' best: width, and children that count as one trial.
constexpr double exploration = 0.45, trial = 32;
// A species rests when so many of what counts as asked have not bettered its best by this factor.
constexpr std::uint64_t patience = 1000;
constexpr double clear_gain = 1.01;
// The rise of a new species; how many children it takes to fade to 1/e; how much of it comes of the
// logarithm of a gain; the largest. With 600 children or 150 instead of 300 fewer runs came to the
// best place there is.
constexpr double first_rise = 1.1, rise_memory = 300, rise_of_gain = 1.5, most_rise = 2.5;

bool are_near(const Find& a, const Find& b) {
  if (a.branch != b.branch) return false;
  const double most = clear_radius * clear_radius * static_cast<double>(a.point.size());
  double sum = 0;
  for (std::size_t k = 0; k < a.point.size() && sum <= most; ++k)
    sum += (a.point[k] - b.point[k]) * (a.point[k] - b.point[k]);
  return sum <= most;
}

}  // namespace

bool Niches::Species::rests() const { return asked - improved_at > patience; }

double Niches::Species::find_rise() const {
  return rise * std::exp(-static_cast<double>(asked - rise_at) / rise_memory);
}

void Niches::Species::set_promise() { promise = leaders[0].worth * std::exp(find_rise()); }

Niches::Niches(const std::vector<Branch>& branches, const Goals& goals)
    : branches_(branches), goals_(goals) {
  for (const Branch& branch : branches)
    symmetry_of_.push_back(static_cast<int>(
        std::find_if(branches.begin(), branches.end(),
                     [&](const Branch& other) { return other.symmetry == branch.symmetry; }) -
        branches.begin()));
}

double Niches::measure_worth(const Find& find) const {
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

Niches::Leader Niches::make_leader(Find find) const {
  const Branch& branch = branches_[static_cast<std::size_t>(find.branch)];
  const double worth = measure_worth(find);
  const Placing placing = find_placing(branch, find.point);
  return {std::move(find), placing, worth};
}

bool Niches::lie_alike(const Leader& a, const Leader& b) const {
  return (a.placing.normal - b.placing.normal).squaredNorm() <= normal_radius * normal_radius &&
         (a.placing.hub - b.placing.hub).squaredNorm() <= hub_radius * hub_radius &&
         symmetry_of_[static_cast<std::size_t>(a.find.branch)] ==
             symmetry_of_[static_cast<std::size_t>(b.find.branch)];
}

void Niches::take(const std::vector<Find>& finds) {
  std::vector<std::vector<Leader>> newcomers(niches_.size());
  for (const Find& find : finds) {
    const int panels = branches_[static_cast<std::size_t>(find.branch)].scheme.panels();
    const auto is_its = [&](const Niche& niche) {
      return niche.panels == panels && niche.joint_pattern == find.outcome.joint_pattern;
    };
    const auto n = static_cast<std::size_t>(std::find_if(niches_.begin(), niches_.end(), is_its) -
                                            niches_.begin());
    if (n == niches_.size()) {
      niches_.push_back({panels, find.outcome.joint_pattern, {}});
      newcomers.emplace_back();
    }
    newcomers[n].push_back(make_leader(find));
  }
  for (std::size_t n = 0; n < niches_.size(); ++n)
    if (!newcomers[n].empty()) part(niches_[n], std::move(newcomers[n]));
}

/// Old and new leaders together, the best first: each joins the species whose best lies alike, or
/// founds one. What was asked of a species goes with its place.
void Niches::part(Niche& niche, std::vector<Leader> newcomers) const {
  std::vector<Leader*> order;
  for (Species& species : niche.species)
    for (Leader& leader : species.leaders) order.push_back(&leader);
  for (Leader& leader : newcomers) order.push_back(&leader);
  // Of equals the newer first, so that leaders drift along plateaus; but not where all are worth
  // nothing, else there would be new species for ever.
  std::reverse(order.begin(), order.end());
  std::stable_sort(order.begin(), order.end(),
                   [](const Leader* a, const Leader* b) { return a->worth > b->worth; });
  std::reverse(std::find_if(order.begin(), order.end(),
                            [](const Leader* leader) { return leader->worth == 0; }),
               order.end());
  // A founder that lies alike with the best of a species carries that one on. What was moved from
  // keeps where it lies.
  const auto find_carried = [&](const Leader& founder) {
    const Species* carried = nullptr;
    for (const Species& species : niche.species)
      if (lie_alike(species.leaders[0], founder) && (!carried || species.asked > carried->asked))
        carried = &species;
    return carried;
  };
  std::vector<Species> parted;
  std::size_t asked_count = 0, resting_count = 0;
  for (Leader* const leader : order) {
    const auto its = std::find_if(parted.begin(), parted.end(), [&](const Species& species) {
      return lie_alike(species.leaders[0], *leader);
    });
    if (its == parted.end()) {
      Species founded;
      founded.rise = first_rise;
      if (const Species* const carried = find_carried(*leader)) {
        founded.asked = carried->asked;
        founded.improved_at = carried->improved_at;
        founded.mark = carried->mark;
        const double before = carried->leaders[0].worth;
        const double gain =
            leader->worth > before ? leader->worth / std::max(before, 1e-3 * leader->worth) : 1;
        founded.rise = std::min(most_rise, carried->find_rise() + rise_of_gain * std::log(gain));
        founded.rise_at = founded.asked;
      }
      if (const double worth = leader->worth; worth > clear_gain * founded.mark) {
        founded.mark = worth;
        founded.improved_at = founded.asked;
      }
      std::size_t& count = founded.rests() ? resting_count : asked_count;
      if (count == (founded.rests() ? most_resting : most_asked)) continue;
      ++count;
      founded.leaders.push_back(std::move(*leader));
      founded.set_promise();
      parted.push_back(std::move(founded));
      continue;
    }
    if (its->leaders.size() < most_leaders &&
        std::none_of(its->leaders.begin(), its->leaders.end(),
                     [&](const Leader& better) { return are_near(better.find, leader->find); }))
      its->leaders.push_back(std::move(*leader));
  }
  niche.species = std::move(parted);
}

Niches::Promises Niches::measure_promises() const {
  Promises promises;
  std::vector<double> sorted;
  for (const Niche& niche : niches_) {
    double most = 0;
    for (const Species& species : niche.species) {
      if (species.rests()) continue;
      sorted.push_back(species.promise);
      most = std::max(most, sorted.back());
    }
    promises.most_of_niche.push_back(most);
  }
  std::sort(sorted.begin(), sorted.end());
  if (sorted.empty()) return promises;
  promises.most = sorted.back();
  promises.upper_quartile = sorted[3 * (sorted.size() - 1) / 4];
  return promises;
}

Niches::Choice Niches::choose(const Promises& promises, double base) {
  double total = 2;
  for (const Niche& niche : niches_)
    for (const Species& species : niche.species)
      total += static_cast<double>(species.asked) / trial;
  const double log_total = std::log(total);
  Niche* niche_of_best = nullptr;
  Species* best = nullptr;
  double best_bound = -1;
  for (std::size_t n = 0; n < niches_.size(); ++n)
    for (Species& species : niches_[n].species) {
      if (species.rests()) continue;
      const double promise = species.promise;
      double share = 0;  // geometric mean of those of all and of the niche
      if (promise > base && promises.most > base)
        share = std::sqrt((promise - base) / (promises.most - base) * promise /
                          promises.most_of_niche[n]);
      const double trials = static_cast<double>(species.asked) / trial + 1;
      const double bound = share + exploration * std::sqrt(log_total / trials);
      if (!(bound > best_bound)) continue;
      niche_of_best = &niches_[n];
      best = &species;
      best_bound = bound;
    }
  if (!best) return {};
  // One place is often good for several structures: it has its time once.
  for (Niche& niche : niches_)
    if (niche.panels == niche_of_best->panels)
      for (Species& species : niche.species)
        if (&species == best || lie_alike(species.leaders[0], best->leaders[0])) {
          ++species.asked;
          species.set_promise();
        }
  return {niche_of_best, best};
}

void Niches::Species::exchange(State& state) {
  state.exchange(asked);
  state.exchange(improved_at);
  state.exchange(mark);
  state.exchange(rise);
  state.exchange(rise_at);
  std::uint64_t count = leaders.size();
  state.exchange(count);
  if (count == 0 || count > most_leaders || improved_at > asked || rise_at > asked ||
      !(0 <= rise && rise <= most_rise))
    throw std::invalid_argument("the checkpoint is damaged: a species that can not be");
  leaders.resize(count);
  for (Leader& leader : leaders) state.exchange(leader.find);
}

void Niches::Niche::exchange(State& state) {
  state.exchange(panels);
  state.exchange(joint_pattern);
  state.exchange(species);
  if (species.empty())
    throw std::invalid_argument("the checkpoint is damaged: a niche without leaders");
}

void Niches::exchange(State& state) {
  state.exchange(niches_);
  if (!state.reading()) return;
  for (Niche& niche : niches_)
    for (Species& species : niche.species) {
      for (Leader& leader : species.leaders) {
        check_restored(leader.find, branches_, goals_);
        leader = make_leader(std::move(leader.find));
        if (!std::isfinite(leader.worth))
          throw std::invalid_argument("the checkpoint is damaged: a leader beyond measure");
      }
      species.set_promise();
    }
}

void check_restored(const Find& find, const std::vector<Branch>& branches, const Goals& goals) {
  if (!(0 <= find.branch && static_cast<std::size_t>(find.branch) < branches.size()) ||
      find.point.size() != branches[static_cast<std::size_t>(find.branch)].parameters.size())
    throw std::invalid_argument("the checkpoint is damaged: a leader of another search");
  for (const double u : find.point)
    if (!(0 <= u && u <= 1))
      throw std::invalid_argument("the checkpoint is damaged: a leader outside its box");
  const std::size_t guides = find.outcome.guides.size(), objectives = goals.pareto.size();
  if (find.outcome.objectives.size() != objectives || (guides != 0 && guides != objectives) ||
      !find.outcome.feasible() || !is_sound(find.outcome))
    throw std::invalid_argument("the checkpoint is damaged: a leader without its criteria");
}

}  // namespace sixtyfold
