// Whether ending variants early ends only those that would have been of no use.
#include "search/keep/quality_gate.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>

#include "engine/random.h"
#include "search/run/run.h"
#include "search/run/stream.h"

using namespace sixtyfold;

namespace {

/// Lets everything through and remembers what each stage could have promised.
struct Watcher : StageGate {
  const SearchTask* task;
  std::vector<double> bounds;
  bool lets_through(Stage next, const Score& score) override {
    if (next > Stage::openness)
      bounds.push_back(measure_quality(task->goals, find_best_case(score, next, task->limits)));
    return true;
  }
};

SearchTask make_small_task(const char* extra = nullptr) {
  RunPlan plan;
  plan.choice.symmetries = {"T", "O", "D4"};
  plan.budget = 1;
  if (extra) plan.goals.weights = {parse_weight(extra), parse_weight("stiffness")};
  return make_task(plan);
}

template <class Visit>
void visit_points(const SearchTask& task, int count, Visit visit) {
  RandomStream random(3, Purpose::test, 0);
  for (int i = 0; i < count; ++i) {
    const Branch& branch = task.branches[random.below(task.branches.size())];
    UnitPoint point(static_cast<std::size_t>(branch.dimension()));
    for (double& coordinate : point) coordinate = random.uniform();
    visit(branch, point);
  }
}

}  // namespace

TEST_CASE("no stage promises less quality than comes of it, and later ones never more",
          "[search][gate]") {
  const char* weight = GENERATE(static_cast<const char*>(nullptr), "sheets", "openness", "width=3");
  const SearchTask task = make_small_task(weight);
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  int feasible = 0;
  visit_points(task, 2000, [&](const Branch& branch, const UnitPoint& point) {
    Watcher watcher;
    watcher.task = &task;
    const Outcome outcome = evaluate(task, branch, point, work, draft, variant, &watcher);
    if (!outcome.feasible()) return;
    ++feasible;
    REQUIRE(watcher.bounds.size() >= 2);  // before width and before stiffness
    for (std::size_t i = 0; i < watcher.bounds.size(); ++i) {
      CHECK(watcher.bounds[i] >= outcome.quality);
      if (i > 0) CHECK(watcher.bounds[i] <= watcher.bounds[i - 1]);
    }
  });
  CHECK(feasible > 100);
}

TEST_CASE("a gate ends what stays below the hurdle, and nothing else", "[search][gate]") {
  const SearchTask task = make_small_task();
  VariantWorkspace work;
  Draft draft;
  Variant variant, gated;
  int ended = 0, let_through = 0;
  visit_points(task, 5000, [&](const Branch& branch, const UnitPoint& point) {
    const Outcome whole = evaluate(task, branch, point, work, draft, variant);
    for (const double hurdle : {-std::numeric_limits<double>::infinity(), 0.0, 0.3, 0.5, 2.0}) {
      int asked = 0;
      QualityGate gate(task.goals, task.limits, [&](const Score& score) {
        CHECK((score.openness > 0 && score.joints > 0));
        ++asked;
        return hurdle;
      });
      const Outcome outcome = evaluate(task, branch, point, work, draft, gated, &gate);
      CHECK(asked <= 1);
      if (gated.status == Status::outdone) {
        ++ended;
        CHECK((!whole.feasible() || whole.quality < hurdle));
        CHECK(beats(Outcome{1e300, 0, {}, {}}, outcome));
      } else {
        ++let_through;
        CHECK(outcome == whole);
        CHECK(gated.score == variant.score);
        // Only stiffness is unknown to the last gate.
        if (whole.feasible())
          CHECK(measure_quality(task.goals, find_best_case(variant.score, Stage::stiffness,
                                                           task.limits)) >= hurdle * (1 - 1e-6));
      }
    }
  });
  CHECK(ended > 500);
  CHECK(let_through > 500);
}

TEST_CASE("a run counts what it ended early", "[search][gate]") {
  RunPlan plan;
  plan.choice.symmetries = {"T"};
  plan.choice.families = {"radial"};
  plan.choice.planes = {"generic"};
  plan.budget = 20000;
  const auto make_tally = [&] {
    Run run(plan);
    Evaluator evaluator(1);
    RunContext context;
    run.go_on(evaluator, context, [] {});
    return run.tally();
  };
  const auto count = [](const Tally& tally) {
    return tally.by_status[static_cast<std::size_t>(Status::outdone)];
  };
  const Tally tally = make_tally();
  CHECK(count(tally) > tally.evaluated / 20);
  CHECK(tally.feasible + count(tally) < tally.evaluated);
  // Where several things are wanted at once nothing is outdone by one number.
  plan.goals.pareto = {&find_criterion("joints"), &find_criterion("stiffness")};
  plan.budget = 3000;
  CHECK(count(make_tally()) == 0);
}
