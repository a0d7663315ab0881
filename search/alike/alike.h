#pragma once
// More like this: designs that look like given ones, as far from them as is asked for.
//
// From a design's recipe steps are taken in random directions of its branch, some towards another
// of the given designs; along each the step is sought at which the look has changed by as much as
// is asked, with all limits kept.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "search/run/evaluator.h"
#include "search/space/task.h"

namespace sixtyfold {

struct AlikeOptions {
  /// Distance of looks that is asked for, 1 - LookOverlap::kept() at one size, 0.02 to 0.9.
  double near = 0.3;
  int each = 10;             ///< wanted like each design, 1 to 1000
  std::uint64_t budget = 0;  ///< variants; 0: no bound
  std::string find_fault() const;
};

/// A design to start from: a point of one of the task's branches.
struct Parent {
  std::string name;  ///< as it is told, such as its file
  BranchPoint point;
  /// Where the point was only fitted to a design (search/alike/fit.h): that one, with its score.
  /// Distances and changes are told from it.
  std::optional<Design> given = std::nullopt;
};

/// What its point makes under the task's limits, kept or not.
Design make_parent_design(const SearchTask& task, const Parent& parent);

struct Relative {
  Find find;
  Design design;   ///< buildable, with joints, score and recipe
  int parent = 0;  ///< the one it was stepped from
  double distance = 0;
  /// What differs from the parent in plain words, the most telling first; at most three.
  std::vector<std::string> changes;
};

struct Relatives {
  std::vector<Relative> found;       ///< by parent, best first
  std::vector<std::string> refused;  ///< one sentence for each that the independent check refused
  std::uint64_t evaluated = 0, feasible = 0;
};

/// Two designs' distance of looks, the second brought to the size of the first.
double measure_look_distance(const Design& a, const Design& b);

/// Promises: every relative keeps the task's limits and bounds, goes together as far as the goals
/// ask, and passes the independent check; none is nearer to one of `unlike` than options.near; no
/// two look alike to the eye (search/choose/design_look.h). The same at any number of threads. It
/// ends when each parent has its relatives, or has been tried in vain for long; when the budget is
/// spent; or when `go_on` says no, which is asked between rounds and told how many are found.
/// Throws std::invalid_argument: options with a fault, no parent.
Relatives find_alike(const SearchTask& task, const std::vector<Parent>& parents,
                     const std::vector<Design>& unlike, const AlikeOptions& options,
                     Evaluator& evaluator,
                     const std::function<bool(const Relatives& so_far)>& go_on);

/// What a design's numbers say of another one, in plain words, the most telling first.
std::vector<std::string> describe_changes(const Score& before, const Score& after);

}  // namespace sixtyfold
