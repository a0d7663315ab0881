#include "search/propose/cell_filler.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>

#include "engine/random.h"
#include "search/propose/proposer.h"
#include "search/propose/transfer_point.h"

namespace sixtyfold {
namespace {

enum Way { sample, vary, bring_over, way_count };
constexpr int tries = 20;  // to find an elite whose cell is empty elsewhere
constexpr double least_spread = 0.01, largest_spread = 0.2, line_spread = 0.5;
constexpr double brought_spread = 0.02;

}  // namespace

CellFiller::CellFiller(const std::vector<Branch>& branches, std::uint64_t seed)
    : branches_(branches),
      seed_(seed),
      sampled_(branches.size(), 0),
      where_(static_cast<int>(branches.size()),
             {1 - 1 / (20.0 * static_cast<double>(branches.size()) + 20), 0.2}),
      how_(way_count, {0.998, 0.2}) {
  for (const Branch& branch : branches)
    samples_.emplace_back(branch.dimension(),
                          RandomStream(seed, Purpose::sample, samples_.size()).next() | 1);
}

UnitPoint CellFiller::make_child(std::size_t branch, int way,
                                 const std::vector<const GridArchive*>& archives) {
  RandomStream random(seed_, Purpose::propose, next_++);
  const std::vector<Trial>& own = archives[branch]->elites();
  if (way == bring_over)
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
  if (way == sample || own.empty()) return samples_[branch].point(sampled_[branch]++);
  UnitPoint child = own[random.below(own.size())].point;
  const UnitPoint& mate = own[random.below(own.size())].point;
  const double spread = least_spread * std::pow(largest_spread / least_spread, random.uniform());
  const double along = random.uniform() < 0.5 ? line_spread * random.normal() : 0;
  const double share = random.uniform() < 0.5 ? 1.0 : 3.0 / static_cast<double>(child.size());
  for (std::size_t k = 0; k < child.size(); ++k) {
    const double step = random.uniform() < share ? spread * random.normal() : 0;
    child[k] = reflect(child[k] + step + along * (mate[k] - child[k]));
  }
  return child;
}

std::vector<BranchPoint> CellFiller::ask(int count,
                                         const std::vector<const GridArchive*>& archives) {
  assert(archives.size() == branches_.size());
  asked_.clear();
  std::vector<BranchPoint> points;
  for (int i = 0; i < count; ++i) {
    const int branch = where_.choose(), way = how_.choose();
    asked_.push_back({branch, way});
    points.push_back({branch, make_child(static_cast<std::size_t>(branch), way, archives)});
  }
  return points;
}

void CellFiller::tell(const std::vector<bool>& are_new) {
  assert(are_new.size() == asked_.size());
  for (std::size_t i = 0; i < are_new.size(); ++i) {
    where_.reward(asked_[i].branch, are_new[i]);
    how_.reward(asked_[i].way, are_new[i]);
  }
  asked_.clear();
}

void CellFiller::Asked::exchange(State& state) {
  state.exchange(branch);
  state.exchange(way);
}

void CellFiller::exchange(State& state) {
  state.exchange(next_);
  state.exchange(sampled_);
  state.exchange(where_);
  state.exchange(how_);
  state.exchange(asked_);
  if (sampled_.size() != branches_.size())
    throw std::invalid_argument("the checkpoint is damaged: it is of other branches");
}

}  // namespace sixtyfold
