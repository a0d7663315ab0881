#pragma once
// The best of all branches together, for several objectives at once, and new points made of them.
// Proposers know one branch each; with many branches none of them sees enough points to converge.

#include "search/exploration.h"

namespace sixtyfold {

class RandomStream;

/// Kept twice. Slots: one for each of a lattice of weights over the objectives, with the few finds
/// that are best by its weighted Chebyshev distance to the ideal point (Zhang and Li 2007). Niches:
/// one for each number of panels and each structure, with the finds whose own boxes are largest,
/// none too near a better one (clearing, Petrowski 1996); structures with much to give are rare at
/// first and poor, and grow only when they compete with their like. Both hold several branches: one
/// that comes late is given time to converge.
/// Promises: what is kept and asked for depends on the seed and on what was taken, in its order;
/// exchange stores and restores everything.
class Leaders {
 public:
  /// Without Pareto criteria never asked.
  Leaders(const std::vector<Branch>& branches, const Goals& goals, std::uint64_t seed);

  /// Remembers a feasible find until settle().
  void take(const Find& find);
  void settle();
  bool can_ask() const { return kept_.size() >= 2; }

  /// A parent from each slot in turn, mates from its neighbours; more often from a niche, chosen by
  /// an upper confidence bound on its best. Within the parent's branch: differential evolution
  /// (Storn and Price 1997) or a step along the line through two (Vassiliades and Mouret 2018); now
  /// and then into another branch, with the values that go by the same name there.
  std::vector<BranchPoint> ask(int count);

  void exchange(State& state);

 private:
  struct Slot {
    Objectives weights;
    std::vector<int> neighbours;  ///< slots, itself first
    std::vector<int> finds;       ///< numbers in kept_, best first
  };
  struct Niche {
    int panels = 0, structure = 0;
    std::uint64_t asked = 0;
    std::vector<Find> finds;  ///< best first
    void exchange(State& state);
  };
  double measure_worth(const Find& find) const;
  void settle_slots();
  void settle_niches();
  Niche& choose_niche();
  BranchPoint make_slot_child(std::uint64_t index) const;
  BranchPoint make_niche_child(std::uint64_t index);
  BranchPoint vary(const Find& parent, const std::vector<const Find*>& mates,
                   RandomStream& random) const;
  BranchPoint make_emigrant(const Find& parent, RandomStream& random) const;

  const std::vector<Branch>& branches_;
  std::uint64_t seed_, next_ = 0;
  const Goals& goals_;
  std::vector<Niche> niches_;
  std::vector<Slot> slots_;
  std::vector<Find> kept_;   ///< in slots
  std::vector<Find> taken_;  ///< since the last settle()
};

}  // namespace sixtyfold
