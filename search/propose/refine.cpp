#include "search/propose/refine.h"

#include <nlopt.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <exception>
#include <memory>

namespace sixtyfold {

namespace {

// NLopt's simplex methods take differences of values, which infinity would spoil.
constexpr double not_here = 1e9;

nlopt_algorithm find_algorithm(LocalMethod method) {
  switch (method) {
    case LocalMethod::subplex:
      return NLOPT_LN_SBPLX;
    case LocalMethod::nelder_mead:
      return NLOPT_LN_NELDERMEAD;
    case LocalMethod::bobyqa:
      return NLOPT_LN_BOBYQA;
    case LocalMethod::cobyla:
      return NLOPT_LN_COBYLA;
  }
  return NLOPT_LN_SBPLX;
}

struct Call {
  const std::function<double(const UnitPoint&)>* value;
  nlopt_opt optimiser;
  UnitPoint point;
  Refined best;
  std::exception_ptr error;
};

double evaluate(unsigned dimension, const double* x, double*, void* data) {
  Call& call = *static_cast<Call*>(data);
  call.point.assign(x, x + dimension);
  for (double& coordinate : call.point) coordinate = std::clamp(coordinate, 0.0, 1.0);
  double value = 0;
  try {
    value = (*call.value)(call.point);
  } catch (...) {  // must not pass through C code
    call.error = std::current_exception();
    nlopt_force_stop(call.optimiser);
    return not_here;
  }
  ++call.best.evaluations;
  if (!(value <= not_here)) return not_here;
  if (call.best.evaluations == 1 || value < call.best.value) {
    call.best.value = value;
    call.best.point = call.point;
  }
  return value;
}

}  // namespace

Refined refine(const std::function<double(const UnitPoint&)>& value, const UnitPoint& start,
               const RefineOptions& options) {
  assert(!start.empty() && options.evaluations >= 1);
  assert(0 < options.first_step && options.first_step <= 0.5);
  const auto dimension = static_cast<unsigned>(start.size());
  const std::unique_ptr<nlopt_opt_s, void (*)(nlopt_opt)> optimiser(
      nlopt_create(find_algorithm(options.method), dimension), nlopt_destroy);
  Call call{&value, optimiser.get(), start, {start, HUGE_VAL, 0}, nullptr};
  nlopt_set_min_objective(optimiser.get(), evaluate, &call);
  nlopt_set_lower_bounds1(optimiser.get(), 0);
  nlopt_set_upper_bounds1(optimiser.get(), 1);
  nlopt_set_initial_step1(optimiser.get(), options.first_step);
  nlopt_set_xtol_abs1(optimiser.get(), options.least_step);
  nlopt_set_maxeval(optimiser.get(), options.evaluations);
  nlopt_srand(1);
  UnitPoint x = start;
  double last = 0;
  nlopt_optimize(optimiser.get(), x.data(), &last);  // every way of ending leaves the best in call
  if (call.error) std::rethrow_exception(call.error);
  return call.best;
}

}  // namespace sixtyfold
