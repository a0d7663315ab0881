#include "search/choose/variety.h"

#include <catch2/catch.hpp>

#include "search/run/run.h"

using namespace sixtyfold;

TEST_CASE("of a varied choice each is inspected, and the number of threads does not matter",
          "[search][choice]") {
  RunPlan plan;
  plan.choice.symmetries = {"I", "T", "D5"};
  plan.budget = 5000;
  plan.count = 6;
  Run run(plan);
  Evaluator one(1), three(3);
  RunContext context;
  run.go_on(one, context, [] {});
  const Variety variety = choose_variety(run.task(), run.make_pools(), one);
  REQUIRE(variety.candidates.size() == 6);
  CHECK(variety.considered >= 6);
  CHECK(variety.smallest_difference >= variety.smallest_of_best);
  CHECK(variety.smallest_difference >= looks_alike);
  for (std::size_t i = 0; i < variety.candidates.size(); ++i) {
    const Candidate& candidate = variety.candidates[i];
    const Inspection inspection = inspect(candidate.design);
    CHECK(inspection.buildable());
    CHECK(candidate.design.score.hard_steps == 0);
    CHECK(candidate.design.score.sheets == inspection.design.score.sheets);  // by the usual nest
    CHECK(!candidate.reasons.empty());
    if (i > 0)
      CHECK(candidate.find.outcome.quality <= variety.candidates[i - 1].find.outcome.quality);
  }
  const Variety again = choose_variety(run.task(), run.make_pools(), three);
  REQUIRE(again.candidates.size() == variety.candidates.size());
  for (std::size_t i = 0; i < again.candidates.size(); ++i)
    CHECK(again.candidates[i].find == variety.candidates[i].find);
  CHECK(again.refused == variety.refused);
}
