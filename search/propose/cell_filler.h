#pragma once
// New points for a wide choice: all branches together, each with its archive, searched for cells
// that are still empty.

#include "search/keep/archive.h"
#include "search/propose/bandit.h"
#include "search/propose/sobol.h"
#include "search/space/task.h"

namespace sixtyfold {

/// Promises: what is asked for depends on the seed, the archives given and what was told; exchange
/// stores and restores everything.
class CellFiller {
 public:
  CellFiller(const std::vector<Branch>& branches, std::uint64_t seed);

  /// `archives`: one for each branch. Where to try and how is left to two bandits, by how often a
  /// new cell came of it. How: a sample (Sobol'); an elite of the branch moved along the line to
  /// another (Vassiliades and Mouret 2018); or an elite of another branch, whose cell is empty in
  /// this one, brought over with the values that go by the same name here.
  std::vector<BranchPoint> ask(int count, const std::vector<const GridArchive*>& archives);
  /// Whether each of the points last asked for filled an empty cell.
  void tell(const std::vector<bool>& are_new);

  void exchange(State& state);

 private:
  UnitPoint make_child(std::size_t branch, int way,
                       const std::vector<const GridArchive*>& archives);
  struct Asked {
    int branch = 0, way = 0;
    void exchange(State& state);
  };

  const std::vector<Branch>& branches_;
  std::uint64_t seed_, next_ = 0;
  std::vector<Sobol> samples_;
  std::vector<std::uint64_t> sampled_;
  Bandit where_, how_;
  std::vector<Asked> asked_;
};

}  // namespace sixtyfold
