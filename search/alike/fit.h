#pragma once
// A design without a recipe, such as one that was tuned or drawn by hand, fitted: the point of a
// branch whose variant looks most like it, so that a search can go on from there.

#include <cstdint>
#include <optional>

#include "engine/design.h"
#include "search/run/evaluator.h"

namespace sixtyfold {

struct Fit {
  Recipe recipe;
  /// The design given with another of its copies told as the panel, the one that lies where the
  /// recipe draws its own. The same construction to the last joint; looks are measured to it.
  Design given;
  double look = 0;  ///< LookOverlap::kept() of the recipe's design, 0 to 1
};

/// Looks through all branches of the design's group with as many panels under these limits; about
/// 40,000 variants, trimmed and joined only. Promises: the recipe's variant has come as far as its
/// joints; the same at any number of threads. None where no branch draws anything like it. Throws
/// std::invalid_argument: a design with several kinds of parts.
std::optional<Fit> find_fit(const Design& design, const Limits& limits, std::uint64_t seed,
                            Evaluator& evaluator);

}  // namespace sixtyfold
