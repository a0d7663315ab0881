#include "search/propose/archive_proposer.h"

#include <cassert>
#include <cmath>

#include "engine/random.h"
#include "search/propose/transfer_point.h"

namespace sixtyfold {
namespace {

enum Way { sample, vary, bring_over, way_count };
constexpr int tries = 20;  // to find an elite whose cell is empty elsewhere
// Vassiliades and Mouret 2018 use 0.01 and 0.2. The spread of the first is drawn anew for each
// child, since the right one depends on how far the archive has come.
constexpr double least_spread = 0.002, largest_spread = 0.1, line_spread = 0.2;
constexpr double brought_spread = 0.02;
// Rewards fade with a memory of so many points a branch, since a branch wears out.
constexpr double memory_of_branch = 20, exploration = 0.2;
constexpr double way_discount = 0.998;

}  // namespace

ArchiveProposer::ArchiveProposer(const std::vector<Branch>& branches, std::uint64_t seed)
    : branches_(branches),
      seed_(seed),
      where_(static_cast<int>(branches.size()),
             {1 - 1 / (memory_of_branch * static_cast<double>(branches.size() + 1)), exploration}),
      how_(way_count, {way_discount, exploration}) {}

const std::vector<ArchiveProposer::Asked>& ArchiveProposer::ask(int count) {
  asked_.clear();
  for (int i = 0; i < count; ++i) {
    const int branch = where_.choose(), way = how_.choose();
    asked_.push_back({branch, way, next_++});
  }
  return asked_;
}

UnitPoint ArchiveProposer::make_point(const Asked& asked, const BranchArchives& archives) const {
  assert(archives.size() == branches_.size());
  RandomStream random(seed_, Purpose::propose, asked.index);
  const auto branch = static_cast<std::size_t>(asked.branch);
  const std::vector<Trial>& own = archives[branch]->elites();
  if (asked.way == bring_over)
    for (int i = 0; i < tries; ++i) {
      const auto other = static_cast<std::size_t>(random.below(branches_.size()));
      const std::vector<Trial>& elites = archives[other]->elites();
      if (other == branch || elites.empty()) continue;
      const Trial& elite = elites[random.below(elites.size())];
      if (i + 1 < tries && archives[branch]->find_elite(elite.outcome.measures)) continue;
      const UnitPoint* base = own.empty() ? nullptr : &own[random.below(own.size())].point;
      return transfer_point(branches_[other], elite.point, branches_[branch], base, brought_spread,
                            random);
    }
  if (asked.way == sample || own.empty()) {
    UnitPoint point(branches_[branch].parameters.size());
    for (double& coordinate : point) coordinate = random.uniform();
    return point;
  }
  UnitPoint child = own[random.below(own.size())].point;
  const UnitPoint& mate = own[random.below(own.size())].point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double along = line_spread * random.normal();
  // Moving a few coordinates at a time keeps what is good about the others.
  const double share = random.uniform() < 0.5 ? 1.0 : 3.0 / static_cast<double>(child.size());
  for (std::size_t k = 0; k < child.size(); ++k) {
    const double step = random.uniform() < share ? spread * random.normal() : 0;
    child[k] = reflect(child[k] + step + along * (mate[k] - child[k]));
  }
  return child;
}

void ArchiveProposer::tell(const std::vector<double>& rewards) {
  assert(rewards.size() == asked_.size());
  for (std::size_t i = 0; i < rewards.size(); ++i) {
    where_.reward(asked_[i].branch, rewards[i]);
    how_.reward(asked_[i].way, rewards[i]);
  }
  asked_.clear();
}

void ArchiveProposer::Asked::exchange(State& state) {
  state.exchange(branch);
  state.exchange(way);
  state.exchange(index);
}

void ArchiveProposer::exchange(State& state) {
  state.exchange(next_);
  state.exchange(where_);
  state.exchange(how_);
  state.exchange(asked_);
}

}  // namespace sixtyfold
