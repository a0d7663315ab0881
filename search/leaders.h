#pragma once
// The best of all branches together, for several objectives at once, and new points made of them.
// Proposers know one branch each; with many branches none of them sees enough points to converge.

#include "search/exploration.h"

namespace sixtyfold {

class RandomStream;

/// One slot for each of a lattice of weights over the objectives, with the few finds that are best
/// by its weighted Chebyshev distance to the ideal point (Zhang and Li 2007), of several branches: a
/// branch that comes late is given time to converge.
/// Promises: what is kept and asked for depends on the seed and on what was taken, in its order;
/// exchange stores and restores everything.
class Leaders {
 public:
  /// `objectives`: 0 (never asked), 2 or 3.
  Leaders(const std::vector<Branch>& branches, std::size_t objectives, std::uint64_t seed);

  /// Remembers a feasible find until settle().
  void take(const Find& find);
  void settle();
  bool can_ask() const { return kept_.size() >= 2; }

  struct Child {
    int branch = 0;
    UnitPoint point;
  };
  /// A parent from each slot in turn, mates from its neighbours. Within the parent's branch:
  /// differential evolution (Storn and Price 1997) or a step along the line through two
  /// (Vassiliades and Mouret 2018); now and then into another branch, with the values that go by the
  /// same name there.
  std::vector<Child> ask(int count);

  void exchange(State& state);

 private:
  struct Slot {
    Objectives weights;
    std::vector<int> neighbours;  ///< slots, itself first
    std::vector<int> finds;       ///< numbers in kept_, best first
  };
  Child make_child(std::uint64_t index) const;
  Child make_emigrant(const Find& parent, RandomStream& random) const;

  const std::vector<Branch>& branches_;
  std::uint64_t seed_, next_ = 0;
  std::vector<Slot> slots_;
  std::vector<Find> kept_;
  std::vector<Find> taken_;  ///< since the last settle()
};

}  // namespace sixtyfold
