#include "search/run/run.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/nest/sheet.h"
#include "engine/shape/polygon.h"
#include "engine/variant/inspection.h"
#include "search/choose/choice.h"

using namespace sixtyfold;

namespace {

RunPlan make_plan(std::uint64_t budget) {
  RunPlan plan;
  plan.choice.symmetries = {"T", "D5"};
  plan.budget = budget;
  plan.count = 5;
  return plan;
}

std::string to_bytes(std::vector<Pool> pools) {
  State state;
  state.exchange(pools);
  return state.bytes();
}

std::vector<Pool> run_whole(const RunPlan& plan, int threads) {
  Run run(plan);
  Evaluator evaluator(threads);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  return run.make_pools();
}

}  // namespace

TEST_CASE("a run is the same to the last byte at any number of threads", "[search][run]") {
  RunPlan plan = make_plan(4000);
  SECTION("for quality") {}
  SECTION("for a front") {
    plan.goals.pareto = {&find_criterion("joints"), &find_criterion("stiffness")};
  }
  const std::vector<Pool> pools = run_whole(plan, 1);
  CHECK(to_bytes(pools) == to_bytes(run_whole(plan, 3)));
  REQUIRE(pools.size() == 1);
  CHECK(pools[0].tally.evaluated <= 4000);
  CHECK(pools[0].tally.evaluated > 3000);
  CHECK(!pools[0].finds.empty());
  RunPlan other = plan;
  other.seed = 2;
  CHECK(to_bytes(pools) != to_bytes(run_whole(other, 1)));
}

TEST_CASE("shards are the streams of the whole run", "[search][run]") {
  RunPlan plan = make_plan(3001);
  plan.streams = 3;
  const std::vector<Pool> whole = run_whole(plan, 2);
  REQUIRE(whole.size() == 3);
  std::vector<Pool> shards;
  std::uint64_t evaluated = 0;
  for (plan.shard = 1; plan.shard <= 3; ++plan.shard) {
    const std::vector<Pool> one = run_whole(plan, 1);
    REQUIRE(one.size() == 1);
    shards.push_back(one[0]);
    evaluated += one[0].tally.evaluated;
  }
  CHECK(evaluated == merge_pools(whole).tally.evaluated);
  CHECK(evaluated <= 3001);
  CHECK(to_bytes(whole) == to_bytes(shards));
}

TEST_CASE("a run stopped after any round and restored goes on to the same bytes", "[search][run]") {
  RunPlan plan = make_plan(5000);
  plan.streams = 2;
  SECTION("for quality") {}
  SECTION("for a front") {
    plan.goals.pareto = {&find_criterion("openness"), &find_criterion("joints"),
                         &find_criterion("diameter")};
  }
  const std::string expected = to_bytes(run_whole(plan, 2));
  for (const int stop_after : {1, 2, 4}) {
    CAPTURE(stop_after);
    Evaluator evaluator(2);
    std::string checkpoint;
    {
      Run run(plan);
      RunContext context;
      int rounds = 0;
      const EndReason reason = run.go_on(evaluator, context, [&] {
        if (++rounds == stop_after) context.stop = true;
      });
      CHECK(reason == EndReason::stopped);
      State state;
      run.exchange(state);
      checkpoint = state.bytes();
    }
    Run run(plan);
    State state(checkpoint);
    run.exchange(state);
    CHECK(state.at_end());
    RunContext context;
    CHECK(run.go_on(evaluator, context, [] {}) == EndReason::budget_spent);
    CHECK(to_bytes(run.make_pools()) == expected);
  }
}

TEST_CASE("candidates are feasible, confirmed, ranked and different", "[search][run]") {
  const RunPlan plan = make_plan(6000);
  const SearchTask task = make_task(plan);
  const std::vector<Pool> pools = run_whole(plan, 2);
  Evaluator one(1), three(3);
  const Choice choice = choose_candidates(task, pools, one);
  REQUIRE(choice.candidates.size() >= 2);
  for (std::size_t i = 0; i < choice.candidates.size(); ++i) {
    const Candidate& candidate = choice.candidates[i];
    CHECK(candidate.find.outcome.feasible());
    CHECK(inspect(candidate.design).buildable());
    CHECK(!candidate.reasons.empty());
    CHECK(candidate.design.score.shortest_joint_mm >= plan.limits.min_joint_mm);
    if (i > 0)
      CHECK(candidate.find.outcome.quality <= choice.candidates[i - 1].find.outcome.quality);
    for (std::size_t k = 0; k < i; ++k)
      CHECK(measure_difference(candidate.signature, choice.candidates[k].signature) >=
            near_duplicate);
  }
  const Choice again = choose_candidates(task, pools, three);
  REQUIRE(again.candidates.size() == choice.candidates.size());
  for (std::size_t i = 0; i < again.candidates.size(); ++i)
    CHECK(again.candidates[i].find == choice.candidates[i].find);
}

TEST_CASE("a run can be asked for its best at any moment and goes on as if it was not",
          "[search][run]") {
  RunPlan plan = make_plan(6000);
  SECTION("for quality") {}
  SECTION("for a front") {
    plan.goals.pareto = {&find_criterion("joints"), &find_criterion("stiffness")};
  }
  Evaluator evaluator(2);
  Run run(plan);
  RunContext context;
  std::vector<std::uint64_t> asked_at;
  std::vector<double> best;
  run.go_on(evaluator, context, [&] {
    const Choice choice = choose_candidates(run.task(), run.make_pools(), evaluator);
    asked_at.push_back(run.tally().evaluated);
    REQUIRE(!choice.candidates.empty());
    CHECK(inspect(choice.candidates[0].design).buildable());
    best.push_back(run.best_quality());
  });
  REQUIRE(asked_at.size() >= 5);
  CHECK(asked_at.front() <= 1100);  // the first list comes early
  CHECK(std::is_sorted(best.begin(), best.end()));
  CHECK(to_bytes(run.make_pools()) == to_bytes(run_whole(plan, 1)));
}

TEST_CASE("a bound on sheets turns down only what no nest can mend", "[search][run][stock]") {
  RunPlan plan = make_plan(6000);
  plan.limits.sheet_width_mm = 1000, plan.limits.sheet_height_mm = 1600;
  plan.limits.max_diameter_mm = 1200;  // several parts a sheet
  plan.count = 12;
  SearchTask task = make_task(plan);
  const std::vector<Pool> pools = run_whole(plan, 2);
  Evaluator evaluator(2);
  const Choice choice = choose_candidates(task, pools, evaluator);
  REQUIRE(!choice.candidates.empty());
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  int underrated = 0;
  for (const Candidate& candidate : choice.candidates) {
    const Branch& branch = task.branches[static_cast<std::size_t>(candidate.find.branch)];
    const int nested = candidate.design.score.sheets;
    task.goals.bounds = {parse_bound("sheets<=" + std::to_string(nested))};
    const Outcome kept = evaluate(task, branch, candidate.find.point, work, draft, variant);
    INFO(nested << " sheets by the nest, " << variant.score.sheets << " by the estimate");
    CHECK(kept.feasible());
    if (variant.score.sheets > nested) {
      ++underrated;
      CHECK(kept.quality < candidate.find.outcome.quality);  // after what keeps it surely
    }
    // Less board than the panels have area.
    const double area = candidate.design.score.panels *
                        std::abs(measure_area(candidate.design.orbits[0].panel.outline_mm));
    const int too_few = static_cast<int>(area / make_sheet(plan.limits).area_mm2() - 1e-9);
    task.goals.bounds = {parse_bound("sheets<=" + std::to_string(too_few))};
    CHECK_FALSE(evaluate(task, branch, candidate.find.point, work, draft, variant).feasible());
  }
  CHECK(underrated > 0);

  // The whole way: with the bound at what the least of them needs there is a candidate.
  int least = 100000;
  for (const Candidate& candidate : choice.candidates)
    least = std::min(least, candidate.design.score.sheets);
  plan.goals.bounds = {parse_bound("sheets<=" + std::to_string(least))};
  const Choice bounded = choose_candidates(make_task(plan), run_whole(plan, 2), evaluator);
  CHECK(!bounded.candidates.empty());
  for (const Candidate& candidate : bounded.candidates)
    CHECK(candidate.design.score.sheets <= least);
}

TEST_CASE("a Pareto run keeps what nothing dominates", "[search][run]") {
  RunPlan plan = make_plan(5000);
  plan.goals.pareto = {&find_criterion("joints"), &find_criterion("diameter")};
  const std::vector<Pool> pools = run_whole(plan, 2);
  Evaluator evaluator(1);
  const Choice choice = choose_candidates(make_task(plan), pools, evaluator);
  REQUIRE(!choice.candidates.empty());
  for (const Candidate& a : choice.candidates)
    for (const Candidate& b : choice.candidates)
      CHECK(!dominates(b.find.outcome.objectives, a.find.outcome.objectives));
  double previous = 0;
  for (const CurveRow& row : pools[0].curve) {
    CHECK(row.hypervolume >= previous - 1e-12);
    previous = row.hypervolume;
  }
  CHECK(previous > 0);
}

TEST_CASE("when nothing keeps the limits the reasons are counted", "[search][run]") {
  RunPlan plan = make_plan(2000);
  plan.limits.min_joint_mm = 1900;
  const SearchTask task = make_task(plan);
  const std::vector<Pool> pools = run_whole(plan, 1);
  const Tally tally = merge_pools(pools).tally;
  CHECK(tally.feasible == 0);
  std::uint64_t turned_down = 0;
  for (const std::uint64_t count : tally.by_status) turned_down += count;
  CHECK(turned_down == tally.evaluated);
  Evaluator evaluator(1);
  CHECK(choose_candidates(task, pools, evaluator).candidates.empty());
  const std::vector<std::string> sentences = explain_nothing_found(task, tally);
  REQUIRE(sentences.size() >= 3);
  CHECK_THAT(sentences.back(), Catch::Contains("nearest miss"));
  CHECK_THAT(sentences.back(), Catch::Contains("shortest joint is"));

  plan.limits = Limits{};
  plan.goals.bounds = {parse_bound("diameter>=1999"), parse_bound("mass<=0.001")};
  const Tally bounded = merge_pools(run_whole(plan, 1)).tally;
  CHECK(bounded.out_of_bounds > 0);
  CHECK_THAT(explain_nothing_found(make_task(plan), bounded).back(), Catch::Contains("mass"));
}

TEST_CASE("plans that make no sense are refused", "[search][run]") {
  RunPlan plan = make_plan(0);
  CHECK_THROWS_AS(Run(plan), std::invalid_argument);
  plan = make_plan(100);
  plan.choice.symmetries.clear();
  CHECK_THROWS_AS(Run(plan), std::invalid_argument);
  plan = make_plan(100);
  plan.limits.min_panels = 1000;
  CHECK_THROWS_AS(Run(plan), std::invalid_argument);
  plan = make_plan(100);
  plan.streams = 3;
  plan.shard = 4;
  CHECK_THROWS_AS(Run(plan), std::invalid_argument);
}
