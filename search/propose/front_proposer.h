#pragma once
// New points made of what nothing dominates, for several criteria at once.

#include "search/keep/front.h"
#include "search/keep/kept.h"
#include "search/keep/rungs.h"
#include "search/propose/bandit.h"

namespace sixtyfold {

class RandomStream;

/// Keeps a front for each number of panels, which people choose among, with rungs of what comes
/// next to it, and a front for each branch, where a kind of construction climbs by itself before it
/// comes up to the others.
/// Promises: what is kept and asked for depends on the seed and on what was taken and told;
/// exchange stores and restores everything.
class FrontProposer {
 public:
  /// A point to be made. Choosing goes one after another, making in any order and on any thread.
  struct Asked {
    bool of_branch = false;  ///< from the front of a branch, else of what has so many panels
    int front = 0;
    std::uint64_t index = 0;
    void exchange(State& state);
  };

  FrontProposer(const std::vector<Branch>& branches, const Goals& goals, std::uint64_t seed);

  bool can_ask() const;
  /// Which front to go on with is left to two bandits, by what comes into the fronts.
  const std::vector<Asked>& ask(int count);
  /// A child of one of the front. Within its branch, by differential evolution (Storn and Price
  /// 1997) or a step along the line to another (Vassiliades and Mouret 2018). Or half of the parent
  /// alone: its plane with another outline (the values that go by the same name, into a branch that
  /// mostly is of the same kind of plane), or its outline in another plane.
  BranchPoint make_point(const Asked& asked, const BranchArchives& archives) const;
  /// Offers all that was scored to the fronts, the points last asked for first, and learns.
  void tell(const std::vector<Scored>& scored);

  /// By number of panels.
  std::vector<const Front*> fronts() const;
  const std::vector<Rungs>& rungs() const { return rungs_; }
  const std::vector<Front>& fronts_of_branches() const { return of_branches_; }
  void exchange(State& state);

 private:
  using Mates = std::vector<const UnitPoint*>;
  const Find& choose_parent(const Asked& asked, RandomStream& random) const;
  Mates find_mates(const Find& parent, const BranchArchives& archives, RandomStream& random) const;
  BranchPoint make_emigrant(const Find& parent, const BranchArchives& archives,
                            RandomStream& random) const;
  BranchPoint make_replanted(const Find& parent, RandomStream& random) const;
  void check_all_have_parents() const;

  const std::vector<Branch>& branches_;
  const Goals& goals_;
  std::uint64_t seed_, next_ = 0;
  std::vector<int> panels_of_;  ///< by branch: number of its front in of_panels_
  std::vector<Front> of_panels_, of_branches_;
  std::vector<Rungs> rungs_;  ///< by number of panels, too
  Bandit which_panels_, which_branch_;
  std::vector<Asked> asked_;
};

}  // namespace sixtyfold
