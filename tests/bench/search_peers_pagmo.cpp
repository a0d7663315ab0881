#include <algorithm>
#include <cmath>
#include <pagmo/algorithm.hpp>
#include <pagmo/algorithms/moead.hpp>
#include <pagmo/algorithms/nsga2.hpp>
#include <pagmo/population.hpp>
#include <pagmo/problem.hpp>

#include "tests/bench/search_peers.h"

namespace sixtyfold::bench {
namespace {

std::size_t find_dimension(const SearchTask& task) {
  int most = 0;
  for (const Branch& branch : task.branches) most = std::max(most, branch.dimension());
  return static_cast<std::size_t>(most) + 1;
}

/// The request as one box of continuous variables.
struct Problem {
  Meter* meter;

  pagmo::vector_double fitness(const pagmo::vector_double& x) const {
    const SearchTask& task = meter->task();
    const auto count = static_cast<double>(task.branches.size());
    const auto b = static_cast<std::size_t>(std::clamp(std::floor(x[0] * count), 0.0, count - 1));
    UnitPoint point(x.begin() + 1, x.begin() + 1 + task.branches[b].dimension());
    for (double& coordinate : point) coordinate = std::clamp(coordinate, 0.0, 1.0);
    const Outcome outcome = meter->score({static_cast<int>(b), std::move(point)});
    if (!outcome.feasible())
      return pagmo::vector_double(get_nobj(), 3 + std::min(outcome.violation, 1e6));
    return to_scales(meter->request(), task, outcome);
  }
  std::pair<pagmo::vector_double, pagmo::vector_double> get_bounds() const {
    const std::size_t dimension = find_dimension(meter->task());
    return {pagmo::vector_double(dimension, 0), pagmo::vector_double(dimension, 1)};
  }
  pagmo::vector_double::size_type get_nobj() const { return meter->task().goals.pareto.size(); }
  template <class Archive>
  void serialize(Archive&, unsigned) {}
};

template <class Algorithm>
void run_pagmo(Meter& meter, std::uint64_t seed) {
  // 200 generations: with 100 they stand still long before 100,000 evaluations are spent.
  const std::uint64_t budget = meter.left();
  const auto size = static_cast<unsigned>(std::max<std::uint64_t>(100, budget / 200 / 4 * 4));
  const pagmo::problem problem{Problem{&meter}};
  pagmo::population population(problem, size, static_cast<unsigned>(seed));
  pagmo::algorithm algorithm{Algorithm(static_cast<unsigned>(budget / size) - 1)};
  algorithm.set_seed(static_cast<unsigned>(seed));
  algorithm.evolve(population);
}

}  // namespace

void run_nsga2(Meter& meter, std::uint64_t seed) { run_pagmo<pagmo::nsga2>(meter, seed); }
void run_moead(Meter& meter, std::uint64_t seed) { run_pagmo<pagmo::moead>(meter, seed); }

}  // namespace sixtyfold::bench
