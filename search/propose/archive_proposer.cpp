#include "search/propose/archive_proposer.h"

#include <cassert>
#include <cmath>

#include "engine/random.h"

namespace sixtyfold {

namespace {

// Vassiliades and Mouret 2018 use 0.01 and 0.2. The spread of the first is drawn anew for each
// child, since the right one depends on how far the archive has come.
constexpr double least_spread = 0.002, largest_spread = 0.1;
constexpr double line_spread = 0.2;
// Until the archive has this many elites most points are samples; one in ten stays one.
constexpr std::size_t enough_elites = 8;
constexpr double sample_share = 0.1;

}  // namespace

UnitPoint ArchiveProposer::make_child(std::uint64_t index) const {
  RandomStream stream(seed_, Purpose::propose, index);
  const std::vector<Trial>& elites = archive_.elites();
  const double chance = stream.uniform();
  if (elites.size() < 2 || chance < (elites.size() < enough_elites ? 0.5 : sample_share))
    return sobol_.point(index);
  const UnitPoint& a = elites[stream.below(elites.size())].point;
  const UnitPoint& b = elites[stream.below(elites.size())].point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, stream.uniform());
  const double along = line_spread * stream.normal();
  // Moving a few coordinates at a time keeps what is good about the others.
  const double share = stream.uniform() < 0.5 ? 1.0 : 3.0 / static_cast<double>(a.size());
  UnitPoint child(a.size());
  for (std::size_t k = 0; k < a.size(); ++k) {
    const double step = stream.uniform() < share ? spread * stream.normal() : 0;
    child[k] = reflect(a[k] + step + along * (b[k] - a[k]));
  }
  return child;
}

std::vector<UnitPoint> ArchiveProposer::ask(int count) {
  asked_.clear();
  for (int i = 0; i < count; ++i) asked_.push_back(make_child(next_++));
  return asked_;
}

void ArchiveProposer::tell(const std::vector<Outcome>& outcomes) {
  assert(outcomes.size() == asked_.size());
  for (std::size_t i = 0; i < outcomes.size(); ++i) archive_.insert({asked_[i], outcomes[i]});
  asked_.clear();
}

void ArchiveProposer::exchange(State& state) {
  archive_.exchange(state);
  state.exchange(next_);
  state.exchange(asked_);
}

}  // namespace sixtyfold
