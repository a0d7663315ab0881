// The search beside general optimisers wired to the same evaluator: pagmo2's NSGA-II and MOEA/D
// (Biscani and Izzo 2020) and NLopt's global methods. Same variants to choose from, same number of
// evaluations, ten seeds; the union of all runs is the best-known front.
//
//   search_bench [EVALUATIONS [SEEDS [METHOD [FIRST_SEED [DIR]]]]]
//
// METHOD: only those with one of these words, separated by commas, in their name. DIR: the peers'
// records are read from there, or written there when they are not there yet; our own are always
// made anew.
//
// Gap: hypervolume of the best-known front that a run misses, as a share of it, with the criteria's
// worst values as reference. Coverage: cells of openness x joints a panel x roundness with a
// feasible variant, of all kinds of construction together and of each kind by itself.
//
// The peers get one more variable that chooses the branch, and infeasible variants are worse than
// all feasible ones, by their violation. Every feasible variant a peer ever evaluated counts for
// it, not only its last population. NLopt minimises five Chebyshev scalarisations, each with a
// fifth of the evaluations.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <memory>
#include <nlopt.hpp>
#include <pagmo/algorithm.hpp>
#include <pagmo/algorithms/moead.hpp>
#include <pagmo/algorithms/nsga2.hpp>
#include <pagmo/population.hpp>
#include <pagmo/problem.hpp>
#include <sstream>

#include "engine/random.h"
#include "search/keep/archive.h"
#include "search/run/run.h"

using namespace sixtyfold;

namespace {

/// All that one run of one method saw.
struct Record {
  std::vector<Objectives> front;  ///< scaled so that the criteria's worst is 1 and their best 0
  double cells = 0, by_kind = 0, feasible = 0;

  void exchange(State& state) {
    state.exchange(front);
    state.exchange(cells);
    state.exchange(by_kind);
    state.exchange(feasible);
  }
};

Objectives scale(const SearchTask& task, const Outcome& outcome) {
  Objectives scaled;
  for (std::size_t k = 0; k < task.goals.pareto.size(); ++k) {
    const Criterion& criterion = *task.goals.pareto[k];
    const double value = outcome.objectives[k] * (criterion.more_is_better() ? -1 : 1);
    scaled.push_back((value - criterion.best) / (criterion.worst - criterion.best));
  }
  return scaled;
}

/// Fills a record.
class Recorder {
 public:
  void add(const SearchTask& task, int branch, const UnitPoint& point, const Outcome& outcome) {
    if (!outcome.feasible()) return;
    ++record_.feasible;
    archive_.insert({point, outcome});
    of_branch_.try_emplace(branch, cells).first->second.insert({point, outcome});
    const Objectives scaled = scale(task, outcome);
    for (const Objectives& other : record_.front)
      if (other == scaled || dominates(other, scaled)) return;
    std::erase_if(record_.front, [&](const Objectives& other) { return dominates(scaled, other); });
    record_.front.push_back(scaled);
  }
  Record take() {
    record_.cells = static_cast<double>(archive_.elites().size());
    for (const auto& [branch, grid] : of_branch_)
      record_.by_kind += static_cast<double>(grid.elites().size());
    return record_;
  }

 private:
  inline static const std::vector<int> cells = {10, 8, 8};
  Record record_;
  GridArchive archive_{cells};
  std::map<int, GridArchive> of_branch_;
};

struct Scratch {
  VariantWorkspace work;
  Draft draft;
  Variant variant;
};

/// The task as one box of continuous variables.
struct Wired {
  const SearchTask* task;
  Recorder* recorder;
  std::size_t dimension;
  std::shared_ptr<Scratch> scratch = std::make_shared<Scratch>();

  Objectives operator()(const std::vector<double>& x) const {
    const auto count = static_cast<double>(task->branches.size());
    const auto b = static_cast<std::size_t>(std::clamp(std::floor(x[0] * count), 0.0, count - 1));
    const Branch& branch = task->branches[b];
    UnitPoint point(x.begin() + 1, x.begin() + 1 + branch.dimension());
    for (double& coordinate : point) coordinate = std::clamp(coordinate, 0.0, 1.0);
    const Outcome outcome =
        evaluate(*task, branch, point, scratch->work, scratch->draft, scratch->variant);
    recorder->add(*task, static_cast<int>(b), point, outcome);
    if (outcome.feasible()) return scale(*task, outcome);
    return Objectives(task->goals.pareto.size(), 3 + outcome.violation);
  }
};

struct PagmoProblem {
  Wired wired;
  pagmo::vector_double fitness(const pagmo::vector_double& x) const { return wired(x); }
  std::pair<pagmo::vector_double, pagmo::vector_double> get_bounds() const {
    return {pagmo::vector_double(wired.dimension, 0), pagmo::vector_double(wired.dimension, 1)};
  }
  pagmo::vector_double::size_type get_nobj() const { return wired.task->goals.pareto.size(); }
  template <class Archive>
  void serialize(Archive&, unsigned) {}
};

std::size_t find_dimension(const SearchTask& task) {
  int most = 0;
  for (const Branch& branch : task.branches) most = std::max(most, branch.dimension());
  return static_cast<std::size_t>(most) + 1;
}

template <class Algorithm>
Record run_pagmo(const SearchTask& task, int evaluations, unsigned seed) {
  Recorder recorder;
  // 200 generations: with 100 they stand still long before 100,000 evaluations are spent.
  const unsigned size = std::max(100U, static_cast<unsigned>(evaluations) / 200 / 4 * 4);
  const pagmo::problem problem{PagmoProblem{{&task, &recorder, find_dimension(task)}}};
  pagmo::population population(problem, size, seed);
  pagmo::algorithm algorithm{Algorithm(static_cast<unsigned>(evaluations) / size - 1)};
  algorithm.set_seed(seed);
  algorithm.evolve(population);
  return recorder.take();
}

using Value = std::function<double(const std::vector<double>&)>;

double call(const std::vector<double>& x, std::vector<double>&, void* data) {
  return (*static_cast<const Value*>(data))(x);
}

Record run_nlopt(nlopt::algorithm method, const SearchTask& task, int evaluations, unsigned seed) {
  Recorder recorder;
  const Wired wired{&task, &recorder, find_dimension(task)};
  const int parts = 5;
  nlopt::srand(seed);
  for (int part = 0; part < parts; ++part) {
    const double weight = (part + 0.5) / parts;
    Value value = [&](const std::vector<double>& x) {
      const Objectives f = wired(x);
      return std::max(weight * f[0], (1 - weight) * f[1]);
    };
    nlopt::opt optimiser(method, static_cast<unsigned>(wired.dimension));
    optimiser.set_min_objective(call, &value);
    optimiser.set_lower_bounds(0);
    optimiser.set_upper_bounds(1);
    optimiser.set_maxeval(evaluations / parts);
    RandomStream stream(seed, Purpose::test, static_cast<std::uint64_t>(part));
    std::vector<double> x(wired.dimension);
    for (double& coordinate : x) coordinate = stream.uniform();
    double last = 0;
    try {
      optimiser.optimize(x, last);
    } catch (const std::exception&) {  // rounding trouble at the end of a run is no news here
    }
  }
  return recorder.take();
}

Record run_ours(const RunPlan& plan, const SearchTask& task) {
  Run run(plan);
  Evaluator evaluator(1);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  Recorder recorder;
  double feasible = 0;
  for (const Pool& pool : run.make_pools()) {
    for (const Find& find : pool.finds) recorder.add(task, find.branch, find.point, find.outcome);
    feasible += static_cast<double>(pool.tally.feasible);
  }
  Record record = recorder.take();
  record.feasible = feasible;
  return record;
}

/// What `make` gives, or what it gave when the file was written.
Record read_or_make(const std::filesystem::path& file, const std::function<Record()>& make) {
  Record record;
  if (std::ifstream in(file, std::ios::binary); in) {
    State state(std::string(std::istreambuf_iterator<char>(in), {}));
    record.exchange(state);
    return record;
  }
  record = make();
  if (file.has_parent_path()) {
    State state;
    record.exchange(state);
    std::ofstream(file, std::ios::binary) << state.bytes();
  }
  return record;
}

bool is_meant(const std::string& name, const std::string& words) {
  std::istringstream stream(words);
  bool any = false;
  for (std::string word; std::getline(stream, word, ',');) {
    if (name.find(word) != std::string::npos) return true;
    any = true;
  }
  return !any;
}

double find_median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t half = values.size() / 2;
  return values.size() % 2 ? values[half] : (values[half - 1] + values[half]) / 2;
}

}  // namespace

int main(int argc, char** argv) {
  const int evaluations = argc > 1 ? std::atoi(argv[1]) : 20000;
  const unsigned seeds = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 10;
  const std::string only = argc > 3 ? argv[3] : "";
  const unsigned first_seed = argc > 4 ? static_cast<unsigned>(std::atoi(argv[4])) : 1;
  const std::filesystem::path kept = argc > 5 ? argv[5] : "";
  const char* tasks[][2] = {
      {"joints", "stiffness"}, {"diameter", "sheets"}, {"openness", "joints"}};
  for (const auto& names : tasks) {
    RunPlan plan;
    // Large constructions: with fewer panels the fronts are boxes of six.
    plan.choice.symmetries = {"I", "O"};
    plan.limits.min_panels = 24;
    plan.budget = static_cast<std::uint64_t>(evaluations);
    plan.goals.pareto = {&find_criterion(names[0]), &find_criterion(names[1])};
    SearchTask task = make_task(plan);
    unsigned seed = first_seed;
    const auto run = [&](nlopt::algorithm method) {
      return [&, method] { return run_nlopt(method, task, evaluations, seed); };
    };
    const std::pair<std::string, std::function<Record()>> methods[] = {
        {"sixtyfold", [&] { return run_ours(plan, task); }},
        {"pagmo NSGA-II", [&] { return run_pagmo<pagmo::nsga2>(task, evaluations, seed); }},
        {"pagmo MOEA/D", [&] { return run_pagmo<pagmo::moead>(task, evaluations, seed); }},
        {"NLopt CRS2", run(nlopt::GN_CRS2_LM)},
        {"NLopt DIRECT-L", run(nlopt::GN_DIRECT_L)},
        {"NLopt ESCH", run(nlopt::GN_ESCH)},
        {"NLopt ISRES", run(nlopt::GN_ISRES)}};
    std::map<std::string, std::vector<Record>> records;
    for (seed = first_seed; seed < first_seed + seeds; ++seed) {
      plan.seed = seed;
      for (const auto& [name, make] : methods) {
        if (!is_meant(name, only)) continue;
        std::string file = name + " " + names[0] + " " + names[1] + " " +
                           std::to_string(evaluations) + " " + std::to_string(seed);
        std::erase(file, '/');
        const bool is_kept = !kept.empty() && name != "sixtyfold";
        records[name].push_back(
            read_or_make(is_kept ? kept / file : std::filesystem::path(), make));
      }
    }
    const Objectives reference = {1, 1};
    std::vector<Objectives> points, best;
    for (const auto& [name, runs] : records)
      for (const Record& record : runs)
        points.insert(points.end(), record.front.begin(), record.front.end());
    for (const int i : find_front(points)) best.push_back(points[static_cast<std::size_t>(i)]);
    const double whole = measure_hypervolume(find_within(best, reference), reference);
    std::printf(
        "%s against %s, %zu kinds of construction, %d evaluations, %u seeds; best-known "
        "hypervolume %.4f\n",
        names[0], names[1], task.branches.size(), evaluations, seeds, whole);
    std::printf("  %-16s %11s %11s %11s %9s %9s %9s\n", "", "median gap", "least gap", "most gap",
                "cells", "by kind", "feasible");
    for (const auto& [name, runs] : records) {
      std::vector<double> gaps, cells, by_kind, feasible;
      for (const Record& record : runs) {
        gaps.push_back(1 - measure_hypervolume(find_within(record.front, reference), reference) /
                               whole);
        cells.push_back(record.cells);
        by_kind.push_back(record.by_kind);
        feasible.push_back(record.feasible);
      }
      std::printf("  %-16s %11.5f %11.5f %11.5f %9.0f %9.0f %9.0f\n", name.c_str(),
                  find_median(gaps), *std::min_element(gaps.begin(), gaps.end()),
                  *std::max_element(gaps.begin(), gaps.end()), find_median(cells),
                  find_median(by_kind), find_median(feasible));
    }
    std::fflush(stdout);
  }
}
