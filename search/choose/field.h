#pragma once
// The finds that a list is chosen from: which comes next, given those chosen so far.

#include <cstdint>
#include <vector>

#include "search/choose/judge.h"

namespace sixtyfold {

inline constexpr int few_panels = 10;  ///< fewer make no group's day

/// How a find stands to those chosen.
struct Standing {
  double nearest = 1e9;   ///< difference from the nearest candidate chosen so far
  int rank = 0;           ///< of the Pareto front it lies on among all finds; 0 without Pareto
  bool is_small = false;  ///< has few panels
  bool gone = false;      ///< chosen, refused, a near-duplicate or dominated by a candidate
};

/// The appeal of what a search finds is a bound, which pictures make whole. They are taken only as
/// far as it takes to know which find is next; what is chosen is what would be if all were taken
/// (the lazy greedy choice of Minoux 1978).
class Field {
 public:
  /// Of more finds than are considered the best by what is known of them. Task and judge live as
  /// long.
  Field(const SearchTask& task, Judge& judge, std::vector<Find> finds);

  const std::vector<Find>& finds() const { return finds_; }
  const Signature& signature(std::size_t find) const { return *signatures_[find]; }
  /// Of each find, before any is chosen.
  std::vector<Standing> make_standings() const;

  /// Of those that are not gone, on the first front that has any left, the one that is best when
  /// quality and difference from those already chosen are weighed against each other (maximal
  /// marginal relevance, Carbonell and Goldstein 1998); finds().size() if none is left.
  std::size_t find_next(const std::vector<Standing>& standings);
  /// Its quality is no bound any more but this: numbers of the day are known after inspection only.
  void settle(std::size_t find, double quality);
  /// Marks the choice and drops what looks like it, and in a Pareto run what it dominates; returns
  /// how many were dropped for their looks.
  std::uint64_t choose(std::vector<Standing>& standings, std::size_t choice) const;

 private:
  void make_whole(const std::vector<std::size_t>& numbers);
  template <typename Merit>
  std::size_t find_highest(const std::vector<Standing>& standings, const Merit& merit);

  const SearchTask& task_;
  Judge& judge_;
  std::vector<Find> finds_;
  std::vector<int> ranks_;
  std::vector<bool> whole_;  ///< whether the outcome is that of the whole appeal
  std::vector<const Signature*> signatures_;
  double top_ = 1;  ///< the best quality
};

}  // namespace sixtyfold
