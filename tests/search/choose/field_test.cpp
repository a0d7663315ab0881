#include "search/choose/field.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "search/choose/choice.h"
#include "search/run/run.h"

using namespace sixtyfold;

namespace {

/// Everything looked at, then the same choice without a thought of what it takes.
std::vector<Find> choose_plainly(const SearchTask& task, std::vector<Find> finds,
                                 std::size_t considered, int count) {
  const auto is_better = [](const Find& a, const Find& b) {
    return a.outcome.quality > b.outcome.quality;
  };
  std::stable_sort(finds.begin(), finds.end(), is_better);
  if (finds.size() > considered) finds.resize(considered);
  VariantWorkspace work;
  SightWorkspace sight;
  Draft draft;
  Variant variant;
  for (Find& find : finds) {
    const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
    find.outcome = evaluate(task, branch, find.point, work, draft, variant);
    complete(task, branch, work, sight, variant, find.outcome);
  }
  std::stable_sort(finds.begin(), finds.end(), is_better);
  std::vector<Signature> signatures;
  for (const Find& find : finds) {
    const Branch& branch = task.branches[static_cast<std::size_t>(find.branch)];
    evaluate(task, branch, find.point, work, draft, variant);
    signatures.push_back(make_signature(branch.scheme, variant));
  }
  std::vector<Find> chosen;
  std::vector<double> nearest(finds.size(), 1e9);
  const double top = finds[0].outcome.quality;
  while (static_cast<int>(chosen.size()) < count) {
    std::size_t best = finds.size();
    double most = -1;
    for (std::size_t i = 0; i < finds.size(); ++i) {
      if (nearest[i] < near_duplicate) continue;
      const double merit =
          0.5 * finds[i].outcome.quality / top + 0.5 * std::min(1.0, nearest[i] / 0.6);
      if (merit > most) best = i, most = merit;
    }
    if (best == finds.size()) break;
    chosen.push_back(finds[best]);
    for (std::size_t i = 0; i < finds.size(); ++i)
      nearest[i] = std::min(nearest[i], measure_difference(signatures[i], signatures[best]));
  }
  return chosen;
}

}  // namespace

TEST_CASE("what is looked at no closer than needed is chosen as if all were looked at",
          "[search][choice]") {
  RunPlan plan;
  plan.choice.symmetries = {"I", "O", "D3"};
  plan.seed = GENERATE(1u, 2u, 3u);
  plan.budget = 6000;
  plan.count = 10;
  Run run(plan);
  Evaluator evaluator(2);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  const std::vector<Find> finds = merge_pools(run.make_pools()).finds;
  REQUIRE(finds.size() > 800);
  Judge judge(evaluator);
  Field field(run.task(), judge, finds);
  CHECK(field.finds().size() == 800);
  std::vector<Standing> standings = field.make_standings();
  for (const Find& wanted : choose_plainly(run.task(), finds, 800, plan.count)) {
    const std::size_t next = field.find_next(standings);
    REQUIRE(next < field.finds().size());
    CHECK(field.finds()[next] == wanted);
    field.choose(standings, next);
  }
  const auto looked_at = std::count_if(field.finds().begin(), field.finds().end(), [&](auto& find) {
    return judge.of(find).whole.has_value();
  });
  CHECK(looked_at < 700);
}
