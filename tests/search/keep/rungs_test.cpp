#include "search/keep/rungs.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

Goals make_goals(const std::vector<std::string>& names) {
  Goals goals;
  for (const std::string& name : names) goals.pareto.push_back(&find_criterion(name));
  return goals;
}

Find make_find(int branch, Objectives objectives, double at = 0.5) {
  return {branch, {at}, {0, 1, std::move(objectives), {0.5}, {}}};
}

}  // namespace

TEST_CASE("a rung holds the best of six branches, whatever the order", "[search][fronts]") {
  const Goals goals = make_goals({"stiffness", "joints"});
  RandomStream random(4, Purpose::test, 0);
  std::vector<Find> all;
  for (int i = 0; i < 600; ++i)
    all.push_back(make_find(static_cast<int>(random.below(9)),
                            {-random.uniform(), 12.0 * static_cast<double>(random.below(4) + 3)}));
  // Of all that was taken: the stiffest of each branch with as many joints, of those the best six.
  std::map<double, std::map<int, double>> stiffest;
  for (const Find& find : all) {
    double& best = stiffest[find.outcome.objectives[1]][find.branch];
    best = std::min(best, find.outcome.objectives[0]);
  }
  std::vector<double> expected;
  for (const auto& [joints, of_branches] : stiffest) {
    std::vector<double> best;
    for (const auto& [branch, stiffness] : of_branches) best.push_back(stiffness);
    std::sort(best.begin(), best.end());
    expected.insert(expected.end(), best.begin(), best.begin() + 6);
  }
  std::sort(expected.begin(), expected.end());
  for (int round = 0; round < 2; ++round) {
    Rungs rungs(goals);
    for (const Find& find : all) rungs.take(find);
    std::vector<double> kept;
    for (const Find& find : rungs.finds()) kept.push_back(find.outcome.objectives[0]);
    std::sort(kept.begin(), kept.end());
    CHECK(kept == expected);
    std::reverse(all.begin(), all.end());
  }
}

TEST_CASE("what is dominated has a rung of its own", "[search][fronts]") {
  const Goals goals = make_goals({"joints", "stiffness"});
  Rungs rungs(goals);
  CHECK(rungs.take(make_find(0, {36, -0.5})));
  CHECK(rungs.take(make_find(0, {48, -0.4})));
  CHECK_FALSE(rungs.take(make_find(0, {48, -0.4}, 0.7)));
  CHECK_FALSE(rungs.take(make_find(0, {48, -0.3})));
  CHECK(rungs.take(make_find(0, {48, -0.45})));
  CHECK(rungs.finds().size() == 2);
}

TEST_CASE("nothing unsound comes onto a rung", "[search][fronts]") {
  const Goals goals = make_goals({"joints", "stiffness"});
  Rungs rungs(goals);
  CHECK_FALSE(rungs.take(make_find(0, {NAN, -0.5})));
  Find infeasible = make_find(0, {36, -0.5});
  infeasible.outcome.violation = 1;
  CHECK_FALSE(rungs.take(infeasible));
  CHECK(rungs.finds().empty());
}

TEST_CASE("where nothing goes in steps a rung is a sixtieth of the first criterion's range",
          "[search][fronts]") {
  const Goals goals = make_goals({"openness", "stiffness"});  // openness from 0 to 0.9
  Rungs rungs(goals);
  CHECK(rungs.take(make_find(0, {-0.8995, -0.5})));
  CHECK_FALSE(rungs.take(make_find(0, {-0.8990, -0.4})));  // as open but for rounding, less stiff
  CHECK(rungs.take(make_find(0, {-0.88, -0.4})));
  CHECK(rungs.take(make_find(0, {-3, -0.6})));  // beyond the best: with the best
  CHECK(rungs.finds().size() == 2);
}

TEST_CASE("rungs come back from a checkpoint", "[search][fronts]") {
  const Goals goals = make_goals({"sheets", "diameter", "mass"});
  Rungs rungs(goals), read_back(goals);
  RandomStream random(4, Purpose::test, 1);
  for (int i = 0; i < 100; ++i)
    rungs.take(make_find(
        static_cast<int>(random.below(3)),
        {static_cast<double>(random.below(5)), -1000 * random.uniform(), 30 * random.uniform()}));
  State written;
  rungs.exchange(written);
  State read(written.bytes());
  read_back.exchange(read);
  CHECK(read.at_end());
  CHECK(read_back.finds() == rungs.finds());
  CHECK(rungs.finds().size() == 15);  // three branches, five numbers of sheets
}
