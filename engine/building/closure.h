#pragma once
// Does it close? How far the last joints miss when every cut and every fold is a little off: a
// Monte Carlo on the linearised structure.
//
// Model: rigid panels. At each joint both lines, the edge on one panel and its edge or seat on the
// other, are off across by up to cut_mm at each end by itself, along by up to cut_mm each, and the
// fold by up to fold_deg, all evenly spread and independent. A new panel or module takes the place
// of least squares at its joints, slip and opening weighing as the glue line of
// engine/structure/load.h and the fold as its soft crease. Small errors, so everything is linear:
// twice the errors, twice the miss. Left out: bending of the board, which helps, and errors that
// all copies share, such as a template printed at 101 %.

#include <cstdint>
#include <string>
#include <vector>

#include "engine/building/assembly.h"

namespace sixtyfold {

struct ClosureOptions {
  double cut_mm = 1;
  double fold_deg = 1;
  double fold_length_mm = 0.5;  ///< softness of a fold beside its glue line, see Structure
  int trials = 400;
  std::uint64_t seed = 1;

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

/// Largest distance at either end of any joint in question, over the trials.
struct Miss {
  double median_mm = 0, most_mm = 0;  ///< most: 95 of 100 trials stay below
};

struct Closure {
  /// Every panel and module glued for good before the next comes: the joints of each step. Step 0
  /// is the modules' own joints.
  std::vector<Miss> steps;
  Miss last;    ///< of the last step
  Miss evened;  ///< all joints, when everything is fitted dry and evened out before any glue
  int trials = 0;
};

/// Same input, same numbers. Throws std::invalid_argument for options with a fault.
Closure measure_closure(const Design& design, const AssemblyPlan& plan,
                        const ClosureOptions& options = {});

}  // namespace sixtyfold
