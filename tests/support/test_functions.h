#pragma once
// Functions whose minima or fronts are known from outside, over the unit cube.

#include <functional>
#include <string>
#include <vector>

#include "search/space/outcome.h"
#include "search/space/ranking.h"

namespace sixtyfold::testing {

struct GlobalFunction {
  std::string name;
  int dimension;
  double low, high;  ///< the same box side along every axis, unless `second_*` say otherwise
  double second_low, second_high;
  double minimum;
  std::function<double(const std::vector<double>&)> value;

  double operator()(const UnitPoint& unit) const;
};

/// The functions of tests/sources.md 5 (Dixon and Szego 1978, the NLopt
/// test file and textbooks).
const std::vector<GlobalFunction>& global_functions();

/// Zitzler, Deb and Thiele 2000, number 1, 2 or 3; two objectives, any dimension.
Objectives zdt(int number, const UnitPoint& unit);

/// Hypervolume of the whole front for the reference point (1.1, 1.1), by calculus.
double zdt_hypervolume(int number);

}  // namespace sixtyfold::testing
