#include "search/choose/choice.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "engine/appeal/design_looks.h"
#include "search/choose/design_look.h"
#include "search/run/run.h"

using namespace sixtyfold;

namespace {

Choice run_and_choose(std::vector<std::string> symmetries, std::uint64_t budget, int count) {
  RunPlan plan;
  plan.choice.symmetries = std::move(symmetries);
  plan.budget = budget;
  plan.count = count;
  Run run(plan);
  Evaluator evaluator(2);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  return choose_candidates(run.task(), run.make_pools(), evaluator);
}

int count_small(const Choice& choice) {
  return static_cast<int>(
      std::count_if(choice.candidates.begin(), choice.candidates.end(),
                    [](const Candidate& one) { return one.design.score.panels < 10; }));
}

}  // namespace

TEST_CASE("no two of a list look alike, and few of them have few panels", "[search][choice]") {
  const Choice choice = run_and_choose({"D2", "D3", "D4", "T", "O"}, 20000, 9);
  REQUIRE(choice.candidates.size() >= 6);
  CHECK(count_small(choice) <= 3);
  std::vector<Look> looks;
  for (const Candidate& candidate : choice.candidates) looks.push_back(find_look(candidate.design));
  for (std::size_t i = 0; i < looks.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      CHECK(measure_look_difference(looks[i], looks[k]) >= looks_alike);
}

TEST_CASE("who asks for groups of few panels gets them", "[search][choice]") {
  const Choice choice = run_and_choose({"D3"}, 15000, 6);
  REQUIRE(choice.candidates.size() >= 3);
  CHECK(count_small(choice) == static_cast<int>(choice.candidates.size()));
}

TEST_CASE("by default the list goes by appeal, whole and not its bound, and says why",
          "[search][choice]") {
  const Choice choice = run_and_choose({"T", "O", "D5"}, 15000, 6);
  REQUIRE(choice.candidates.size() >= 4);
  for (const Candidate& candidate : choice.candidates) {
    Score score;
    measure_looks(candidate.design, score);
    CHECK(candidate.design.score.appeal == Approx(score.appeal));
    CHECK(candidate.design.score.see_through == Approx(score.see_through));
    CHECK(!candidate.reasons.empty());
    CHECK(!candidate.why.empty());
  }
}
