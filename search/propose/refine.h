#pragma once
// Improving one point as one task, with NLopt's derivative-free local methods. The only place that
// knows of NLopt.

#include <functional>

#include "search/space/outcome.h"

namespace sixtyfold {

/// subplex: Rowan 1990; nelder_mead: Nelder and Mead 1965 with bounds after Box 1965;
/// bobyqa: Powell 2009 (smooth functions, at least two parameters); cobyla: Powell 1994.
/// The default is measured on the real evaluator (tests/bench/refiner_bench): 150 evaluations from
/// each of 60 elites raised the quality by 0.033 to 0.036 with subplex, 0.029 to 0.034 with
/// nelder_mead, 0.024 to 0.030 with bobyqa and 0.029 to 0.035 with cobyla, for first steps from
/// 0.02 to 0.1: the score has steps where contacts change, which interpolated models do not follow.
enum class LocalMethod { subplex, nelder_mead, bobyqa, cobyla };

struct RefineOptions {
  LocalMethod method = LocalMethod::subplex;
  int evaluations = 300;     ///< at most, >= 1
  double first_step = 0.05;  ///< of a unit coordinate, in (0, 0.5]
  double least_step = 1e-4;  ///< stops when steps become smaller
};

struct Refined {
  UnitPoint point;  ///< the best one seen, the start if nothing was better
  double value = 0;
  int evaluations = 0;
};

/// Minimises `value` over the unit cube from `start`. Infinite values are allowed and mean "not
/// here"; NaN counts as infinite. Deterministic: NLopt's generator, which is thread-local and
/// seeded by the clock, is given the same seed on the running thread before each run.
/// An exception thrown by `value` is passed on.
Refined refine(const std::function<double(const UnitPoint&)>& value, const UnitPoint& start,
               const RefineOptions& options = {});

}  // namespace sixtyfold
