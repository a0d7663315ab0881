#pragma once
// All that a stream keeps of what it scored: an archive for each branch, counts and curves.

#include "search/keep/archive.h"
#include "search/keep/pool.h"

namespace sixtyfold {

/// The archives of all branches, one for each, in their order.
using BranchArchives = std::vector<const GridArchive*>;

/// A trial of one branch and what became of it.
struct Scored {
  int branch = 0;
  Trial trial;
  Status status = Status::ok;
};

/// Promises: the content depends on what was taken, in its order; exchange stores and restores it
/// to the last bit.
class Kept {
 public:
  explicit Kept(const SearchTask& task);

  /// Counts a trial and keeps what it is good for. By how much it raised the quality in its
  /// branch's archive.
  double take(const Scored& scored);
  BranchArchives archives() const;
  const Tally& tally() const { return tally_; }
  const std::vector<CurveRow>& curve() const { return curve_; }
  void add_curve_row(double hypervolume);
  Pool make_pool() const;
  void exchange(State& state);

 private:
  struct Shelf {
    GridArchive archive{archive_cells};
    GridArchive movable{archive_cells};  ///< what keeps all limits but moves
    std::uint64_t evaluated = 0, found = 0;
    void exchange(State& state);
  };
  void count(const Scored& scored);

  std::uint64_t seed_;
  std::vector<Shelf> shelves_;  ///< by branch
  std::vector<CurveRow> curve_;
  Tally tally_;
};

}  // namespace sixtyfold
