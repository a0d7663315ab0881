#pragma once
// New points made of what the archives hold, for all branches together.

#include "search/keep/kept.h"
#include "search/propose/bandit.h"
#include "search/space/task.h"

namespace sixtyfold {

/// Promises: what is asked for depends on the seed, the archives given and what was told; exchange
/// stores and restores everything.
class ArchiveProposer {
 public:
  /// A point to be made. Choosing goes one after another, making in any order and on any thread.
  struct Asked {
    int branch = 0, way = 0;
    std::uint64_t index = 0;
    void exchange(State& state);
  };

  ArchiveProposer(const std::vector<Branch>& branches, std::uint64_t seed);

  /// Where to try and how is left to two bandits, by what came of it. How: a random point; an elite
  /// of the branch moved along the line to another (Vassiliades and Mouret 2018); or an elite of
  /// another branch, whose cell is empty in this one, brought over with the values that go by the
  /// same name here.
  const std::vector<Asked>& ask(int count);
  UnitPoint make_point(const Asked& asked, const BranchArchives& archives) const;
  /// What came of each of those last asked for, in [0, 1].
  void tell(const std::vector<double>& rewards);

  void exchange(State& state);

 private:
  const std::vector<Branch>& branches_;
  std::uint64_t seed_, next_ = 0;
  Bandit where_, how_;
  std::vector<Asked> asked_;
};

}  // namespace sixtyfold
