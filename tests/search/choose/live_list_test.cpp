#include "search/choose/live_list.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <thread>

using namespace sixtyfold;

namespace {

RunPlan make_plan() {
  RunPlan plan;
  plan.choice.symmetries = {"T", "O", "D5"};
  plan.budget = 12000;
  plan.count = 5;
  return plan;
}

std::string to_bytes(std::vector<Pool> pools) {
  State state;
  state.exchange(pools);
  return state.bytes();
}

}  // namespace

TEST_CASE("lists come from the first round on, and the run goes on as if none was made",
          "[search][live]") {
  const RunPlan plan = make_plan();
  Evaluator evaluator(2);
  Run run(plan), alone(plan);
  RunContext context, other;
  std::vector<std::uint64_t> listed_at;
  LiveList lists(run, evaluator, context, [&](const Choice& best) {
    listed_at.push_back(run.tally().evaluated);
    REQUIRE(!best.candidates.empty());
    // Nothing that an earlier list knew changes this one.
    SearchTask task = run.task();
    if (listed_at.size() == 1) task.count = std::min(task.count, LiveList::first_count);
    const Choice afresh = choose_candidates(task, run.make_pools(), evaluator);
    REQUIRE(afresh.candidates.size() == best.candidates.size());
    for (std::size_t i = 0; i < best.candidates.size(); ++i) {
      CHECK(afresh.candidates[i].find == best.candidates[i].find);
      CHECK(afresh.candidates[i].reasons == best.candidates[i].reasons);
      CHECK(afresh.candidates[i].design.score.sheets == best.candidates[i].design.score.sheets);
    }
    CHECK(afresh.refused == best.refused);
    CHECK(afresh.duplicates == best.duplicates);
  });
  run.go_on(evaluator, context, [&] {
    if (run.tally().evaluated > 4000) lists.ask();
    lists.after_round();
  });
  REQUIRE(listed_at.size() >= 5);
  CHECK(listed_at.front() <= 1100);
  alone.go_on(evaluator, other, [] {});
  CHECK(to_bytes(run.make_pools()) == to_bytes(alone.make_pools()));
}

TEST_CASE("another thread may ask for a list", "[search][live]") {
  Evaluator evaluator(2);
  Run run(make_plan());
  RunContext context;
  int shown = 0;
  LiveList lists(run, evaluator, context, [&](const Choice&) { ++shown; });
  std::thread asker([&] {
    for (int i = 0; i < 100; ++i) lists.ask(), std::this_thread::yield();
  });
  asker.join();
  run.go_on(evaluator, context, [&] { lists.after_round(); });
  CHECK(shown >= 1);
  const int before = shown;
  lists.after_round();  // nobody asks, and the run is not four times as old
  CHECK(shown == before);
  std::thread([&] { lists.ask(); }).join();
  lists.after_round();
  CHECK(shown == before + 1);
}
