// Functions whose minima or fronts are known from outside: the evolution proposer beside pagmo2's
// NSGA-II and MOEA/D (ZDT1-3, Zitzler, Deb and Thiele 2000) and NLopt's global methods (the usual
// global functions). Same number of evaluations; medians of the seeds. Every point a method ever
// tried counts for it.
//
//   function_bench [SEEDS]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <nlopt.hpp>
#include <pagmo/algorithm.hpp>
#include <pagmo/algorithms/moead.hpp>
#include <pagmo/algorithms/nsga2.hpp>
#include <pagmo/population.hpp>
#include <pagmo/problem.hpp>

#include "engine/random.h"
#include "search/propose/proposer.h"
#include "tests/support/test_functions.h"

using namespace sixtyfold;
using namespace sixtyfold::testing;

namespace {

using Points = std::vector<Objectives>;

struct ZdtProblem {
  int number = 1;
  Points* seen = nullptr;
  pagmo::vector_double fitness(const pagmo::vector_double& x) const {
    seen->push_back(zdt(number, x));
    return seen->back();
  }
  std::pair<pagmo::vector_double, pagmo::vector_double> get_bounds() const {
    return {pagmo::vector_double(30, 0), pagmo::vector_double(30, 1)};
  }
  pagmo::vector_double::size_type get_nobj() const { return 2; }
  template <class Archive>
  void serialize(Archive&, unsigned) {}
};

template <class Algorithm>
Points run_pagmo(int number, int evaluations, unsigned seed) {
  Points seen;
  const pagmo::problem problem{ZdtProblem{number, &seen}};
  pagmo::population population(problem, 100, seed);
  pagmo::algorithm algorithm{Algorithm(static_cast<unsigned>(evaluations) / 100 - 1)};
  algorithm.set_seed(seed);
  algorithm.evolve(population);
  return seen;
}

Points run_ours(int number, int evaluations, unsigned seed) {
  Points seen;
  const auto proposer = make_proposer(Method::evolution, {30, seed, 0, {100}});
  for (int done = 0; done < evaluations; done += 50) {
    std::vector<Outcome> outcomes;
    for (const UnitPoint& point : proposer->ask(50)) {
      seen.push_back(zdt(number, point));
      outcomes.push_back({0, -seen.back()[1], seen.back(), {seen.back()[0]}});
    }
    proposer->tell(outcomes);
  }
  return seen;
}

double measure_gap(int number, const Points& seen) {
  const Objectives reference = {1.1, 1.1};
  Points front;
  for (const int i : find_front(seen)) front.push_back(seen[static_cast<std::size_t>(i)]);
  return zdt_hypervolume(number) - measure_hypervolume(find_within(front, reference), reference);
}

struct Call {
  const GlobalFunction* function;
  double best = HUGE_VAL;
};

double call(const std::vector<double>& x, std::vector<double>&, void* data) {
  Call& one = *static_cast<Call*>(data);
  const double value = (*one.function)(x);
  one.best = std::min(one.best, value);
  return value;
}

double run_nlopt(nlopt::algorithm method, const GlobalFunction& function, int evaluations,
                 unsigned seed) {
  const auto dimension = static_cast<unsigned>(function.dimension);
  Call one{&function};
  nlopt::opt optimiser(method, dimension);
  optimiser.set_min_objective(call, &one);
  optimiser.set_lower_bounds(0);
  optimiser.set_upper_bounds(1);
  optimiser.set_maxeval(evaluations);
  nlopt::srand(seed);
  RandomStream stream(seed, Purpose::test, 1);
  std::vector<double> x(dimension);
  for (double& coordinate : x) coordinate = stream.uniform();
  double last = 0;
  try {
    optimiser.optimize(x, last);
  } catch (const std::exception&) {  // rounding trouble at the end of a run is no news here
  }
  return one.best - function.minimum;
}

double run_evolution(const GlobalFunction& function, int evaluations, unsigned seed) {
  const auto proposer = make_proposer(Method::evolution, {function.dimension, seed, 0, {16}});
  double best = HUGE_VAL;
  for (int done = 0; done + 32 <= evaluations; done += 32) {
    std::vector<Outcome> outcomes;
    for (const UnitPoint& point : proposer->ask(32)) {
      const double value = function(point);
      outcomes.push_back({0, -value, {value}, {point[0]}});
      best = std::min(best, value);
    }
    proposer->tell(outcomes);
  }
  return best - function.minimum;
}

template <class Run>
double find_median(unsigned seeds, const Run& run) {
  std::vector<double> values;
  for (unsigned seed = 1; seed <= seeds; ++seed) values.push_back(run(seed));
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 ? values[half] : (values[half - 1] + values[half]) / 2;
}

}  // namespace

int main(int argc, char** argv) {
  const unsigned seeds = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 10;
  const int front_evaluations = 25000, evaluations = 20000;
  std::printf("hypervolume missing, %d evaluations, median of %u\n  %-8s %12s %12s %12s\n",
              front_evaluations, seeds, "", "sixtyfold", "NSGA-II", "MOEA/D");
  for (const int number : {1, 2, 3})
    std::printf("  ZDT%-5d %12.6f %12.6f %12.6f\n", number,
                find_median(seeds,
                            [&](unsigned seed) {
                              return measure_gap(number, run_ours(number, front_evaluations, seed));
                            }),
                find_median(seeds,
                            [&](unsigned seed) {
                              return measure_gap(
                                  number, run_pagmo<pagmo::nsga2>(number, front_evaluations, seed));
                            }),
                find_median(seeds, [&](unsigned seed) {
                  return measure_gap(number,
                                     run_pagmo<pagmo::moead>(number, front_evaluations, seed));
                }));
  std::fflush(stdout);
  std::printf("above the minimum, %d evaluations, median of %u\n  %-24s %10s %10s %10s %10s %10s\n",
              evaluations, seeds, "", "sixtyfold", "CRS2", "DIRECT-L", "ESCH", "ISRES");
  for (const GlobalFunction& function : global_functions()) {
    std::printf(
        "  %-21s %2d %10.2g", function.name.c_str(), function.dimension,
        find_median(seeds, [&](unsigned s) { return run_evolution(function, evaluations, s); }));
    for (const nlopt::algorithm method :
         {nlopt::GN_CRS2_LM, nlopt::GN_DIRECT_L, nlopt::GN_ESCH, nlopt::GN_ISRES})
      std::printf(" %10.2g", find_median(seeds, [&](unsigned s) {
                    return run_nlopt(method, function, evaluations, s);
                  }));
    std::printf("\n");
    std::fflush(stdout);
  }
}
