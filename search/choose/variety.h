#pragma once
// From a run's finds to a few designs that look as different as can be.

#include <vector>

#include "search/choose/choice.h"
#include "search/choose/design_look.h"

namespace sixtyfold {

struct Variety {
  std::vector<Candidate> candidates;  ///< best first, each confirmed by the independent inspection
  double smallest_difference = 0;     ///< of looks, between any two of them; infinity for one
  /// The same of as many finds taken by quality alone from the same evaluations.
  double smallest_of_best = 0;
  int considered = 0;                    ///< candidates the choice was made from
  std::uint64_t duplicates = 0;          ///< finds dropped because they look like a better one
  std::uint64_t not_going_together = 0;  ///< of the refused ones, for their hard steps alone
  std::vector<std::string> refused;  ///< one sentence for each find the independent check refused
};

/// Chooses task.count designs: a wider field of candidates as `choose_candidates` ranks them (good
/// and unlike each other), with the best of every group that is not among them, and of these the
/// ones whose smallest visible difference is largest (search/choose/design_look.h). Those are
/// inspected; while the check refuses some of them, they are left out and it is chosen anew.
/// The result does not depend on the number of threads.
Variety choose_variety(const SearchTask& task, const std::vector<Pool>& pools,
                       Evaluator& evaluator);

}  // namespace sixtyfold
