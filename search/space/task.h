#pragma once
// What a search is asked to do, and one point of it tried.

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "engine/variant/looks.h"
#include "search/space/criterion.h"
#include "search/space/outcome.h"
#include "search/space/parameter_space.h"

namespace sixtyfold {

/// What is searched, and for what. The same task gives the same results.
struct SearchTask {
  std::vector<Branch> branches;
  Limits limits;
  Goals goals;
  std::uint64_t seed = 1;
  int count = 12;             ///< candidates wanted
  double refine_share = 0.1;  ///< of the variants goes to the refiner, 0 to 0.9; in a Pareto run 0
  int refine_evaluations = 150;  ///< for one refined candidate
  bool all_numbers = false;      ///< score what no goal asks for, too

  /// Empty when it makes sense, else one sentence.
  std::string find_fault() const;
};

/// A feasible point worth keeping.
struct Find {
  int branch = 0;
  UnitPoint point;
  Outcome outcome;
  void exchange(State& state);
  bool operator==(const Find&) const = default;
};

/// A point to be evaluated.
struct BranchPoint {
  int branch = 0;
  UnitPoint point;
};

/// Where an elite belongs: openness, joints a panel, roundness; each mostly in [0, 1]. The archive
/// of a branch has so many cells along each.
std::array<double, 3> measure_place(const Score& score);
/// The inverse.
struct Place {
  double openness = 0, joints_per_panel = 0, roundness = 0;
};
Place find_place(const std::vector<double>& measures);
inline const std::vector<int> archive_cells = {10, 8, 8};

/// What one thread needs to make variants one after another and to look at them.
struct VariantSpace {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  SightWorkspace sight;
};

/// Outcome of one point as the proposers see it. Fills `variant`; a gate may end it early, then it
/// loses against everything.
Outcome evaluate(const SearchTask& task, const Branch& branch, const UnitPoint& point,
                 VariantWorkspace& work, Draft& draft, Variant& variant, StageGate* gate = nullptr);

/// Of a variant just evaluated, and ok: measures what takes pictures, too, and judges it again.
void complete(const SearchTask& task, const Branch& branch, VariantWorkspace& work,
              SightWorkspace& sight, Variant& variant, Outcome& outcome);

}  // namespace sixtyfold
