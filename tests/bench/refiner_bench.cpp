// Which of NLopt's derivative-free local methods suits the refiner (search/propose/refine.h): each
// improves the same starts on the real evaluator, with as many evaluations as a run gives it.
//
//   refiner_bench [STARTS [EVALUATIONS]]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "search/propose/refine.h"
#include "search/run/run.h"

using namespace sixtyfold;

int main(int argc, char** argv) {
  const int starts = argc > 1 ? std::atoi(argv[1]) : 60;
  const int evaluations = argc > 2 ? std::atoi(argv[2]) : SearchTask{}.refine_evaluations;
  RunPlan plan;
  plan.choice.symmetries = {"I", "O", "T", "D5"};
  plan.budget = 20000;
  SearchTask task = make_task(plan);
  task.refine_share = 0;
  // The best elites of a run without refinement.
  const std::unique_ptr<Stream> stream = make_stream(task, 0);
  Evaluator evaluator(1);
  while (stream->tally().evaluated < plan.budget)
    stream->run_round(evaluator, plan.budget - stream->tally().evaluated);
  std::vector<Find> finds = stream->make_pool().finds;
  std::stable_sort(finds.begin(), finds.end(), [](const Find& a, const Find& b) {
    return a.outcome.quality > b.outcome.quality;
  });
  finds.resize(std::min(finds.size(), static_cast<std::size_t>(std::max(0, starts))));
  std::printf("%zu starts, %d evaluations each; quality gained\n", finds.size(), evaluations);
  std::printf("  %-14s %6s %10s %10s %10s %10s\n", "", "step", "mean", "median", "best", "wins");
  const std::pair<const char*, LocalMethod> methods[] = {{"SBPLX", LocalMethod::subplex},
                                                         {"NELDERMEAD", LocalMethod::nelder_mead},
                                                         {"BOBYQA", LocalMethod::bobyqa},
                                                         {"COBYLA", LocalMethod::cobyla}};
  const double steps[] = {0.02, 0.05, 0.1};
  struct Row {
    const char* name;
    double step;
    std::vector<double> gains;
  };
  std::vector<Row> rows;
  for (const auto& [name, method] : methods)
    for (const double step : steps) {
      Row row{name, step, {}};
      for (const Find& start : finds) {
        VariantWorkspace work;
        Draft draft;
        Variant variant;
        const auto value = [&](const UnitPoint& point) {
          const Outcome outcome =
              evaluate(task, task.branches[static_cast<std::size_t>(start.branch)], point, work,
                       draft, variant);
          return outcome.feasible() ? -outcome.quality : 10 + outcome.violation;
        };
        RefineOptions options;
        options.method = method;
        options.evaluations = evaluations;
        options.first_step = step;
        row.gains.push_back(-refine(value, start.point, options).value - start.outcome.quality);
      }
      rows.push_back(std::move(row));
    }
  for (const Row& row : rows) {
    double sum = 0, best = 0;
    int wins = 0;
    for (std::size_t i = 0; i < row.gains.size(); ++i) {
      sum += row.gains[i];
      best = std::max(best, row.gains[i]);
      wins += std::all_of(rows.begin(), rows.end(),
                          [&](const Row& other) { return other.gains[i] <= row.gains[i]; });
    }
    std::vector<double> sorted = row.gains;
    std::sort(sorted.begin(), sorted.end());
    std::printf("  %-14s %6.2f %10.4f %10.4f %10.4f %10d\n", row.name, row.step,
                sum / static_cast<double>(std::max<std::size_t>(1, sorted.size())),
                sorted.empty() ? 0 : sorted[sorted.size() / 2], best, wins);
  }
}
