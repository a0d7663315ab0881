#pragma once
// The best of all branches together, for several objectives at once, and new points made of them.
// Proposers know one branch each; with many branches none of them sees enough points to converge.

#include "search/propose/niches.h"

namespace sixtyfold {

class RandomStream;

/// Kept twice. Slots: one for each of a lattice of weights over the objectives, with the few finds
/// that are best by its weighted Chebyshev distance to the ideal point (Zhang and Li 2007). Niches:
/// what is built alike and lies alike climbs by itself.
/// Promises: what is kept and asked for depends on the seed and on what was taken, in its order;
/// exchange stores and restores everything.
class ParetoLeaders {
 public:
  /// Without Pareto criteria never asked.
  ParetoLeaders(const std::vector<Branch>& branches, const Goals& goals, std::uint64_t seed);

  /// Remembers a feasible find until settle().
  void take(const Find& find);
  void settle();
  bool can_ask() const { return kept_.size() >= 2; }

  /// A parent from each slot in turn, mates from its neighbours; mostly from a species. Within the
  /// parent's branch: differential evolution (Storn and Price 1997) or a step along the line
  /// through two (Vassiliades and Mouret 2018). Now and then half of the parent alone: its plane
  /// with another outline (the values that go by the same name, into a branch that mostly is of the
  /// same kind of plane), or its outline in another plane.
  std::vector<BranchPoint> ask(int count);

  void exchange(State& state);

 private:
  struct Slot {
    Objectives weights;
    std::vector<int> neighbours;  ///< slots, itself first
    std::vector<int> finds;       ///< numbers in kept_, best first
  };
  void settle_slots();
  BranchPoint make_slot_child(std::uint64_t index) const;
  BranchPoint make_niche_child(std::uint64_t index, const Niches::Promises& promises);
  BranchPoint vary(const Find& parent, const std::vector<const Find*>& mates,
                   RandomStream& random) const;
  BranchPoint evolve(const Find& parent, const std::vector<const Find*>& mates,
                     RandomStream& random) const;
  BranchPoint step(const Find& parent, const std::vector<const Find*>& mates,
                   RandomStream& random) const;
  int choose_destination(int from, RandomStream& random) const;
  BranchPoint make_emigrant(const Find& parent, RandomStream& random) const;
  BranchPoint make_replanted(const Find& parent, RandomStream& random) const;

  const std::vector<Branch>& branches_;
  std::vector<std::ptrdiff_t>
      plane_of_;  ///< by branch: the first of the same group and kind of plane
  std::uint64_t seed_, next_ = 0;
  const Goals& goals_;
  Niches niches_;
  std::vector<Slot> slots_;
  std::vector<Find> kept_;   ///< in slots
  std::vector<Find> taken_;  ///< since the last settle()
};

}  // namespace sixtyfold
