#include "search/keep/front.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

Find make_find(Objectives objectives, Objectives guides = {}) {
  return {0, {0.5}, {0, 1, std::move(objectives), {0.5}, std::move(guides)}};
}

}  // namespace

TEST_CASE("a front holds what nothing dominates, whatever the order", "[search][fronts]") {
  RandomStream random(4, Purpose::test, 0);
  Front front(By::objectives, 1000);
  std::vector<Find> all;
  for (int i = 0; i < 300; ++i) {
    all.push_back(make_find({random.uniform(), random.uniform(), random.uniform()}));
    front.take(all.back());
  }
  std::size_t on_front = 0;
  for (const Find& a : all) {
    bool is_dominated = false;
    for (const Find& b : all)
      is_dominated = is_dominated || dominates(b.outcome.objectives, a.outcome.objectives);
    on_front += !is_dominated;
    CHECK((std::find(front.finds().begin(), front.finds().end(), a) != front.finds().end()) ==
          !is_dominated);
  }
  CHECK(front.finds().size() == on_front);
}

TEST_CASE("of equals the first stays and nothing unsound enters a front", "[search][fronts]") {
  Front front(By::objectives, 10);
  CHECK(front.take(make_find({1, 2})));
  Find equal = make_find({1, 2});
  equal.branch = 1;
  CHECK_FALSE(front.take(equal));
  CHECK_FALSE(front.take(make_find({NAN, 0})));
  Find infeasible = make_find({0, 0});
  infeasible.outcome.violation = 1;
  CHECK_FALSE(front.take(infeasible));
  REQUIRE(front.finds().size() == 1);
  CHECK(front.finds()[0].branch == 0);
}

TEST_CASE("a front that is too long keeps its ends and stays spread", "[search][fronts]") {
  Front front(By::objectives, 11);
  RandomStream random(4, Purpose::test, 1);
  for (const double x : {0.0, 1.0}) front.take(make_find({x, 1 - x}));
  for (int i = 0; i < 400; ++i) {
    const double x = random.uniform();
    front.take(make_find({x, 1 - x}));
  }
  REQUIRE(front.finds().size() == 11);
  std::vector<double> xs;
  for (const Find& find : front.finds()) xs.push_back(find.outcome.objectives[0]);
  std::sort(xs.begin(), xs.end());
  CHECK(xs.front() == 0);
  CHECK(xs.back() == 1);
  for (std::size_t i = 0; i + 1 < xs.size(); ++i) CHECK(xs[i + 1] - xs[i] < 0.3);
}

TEST_CASE("guides tell apart what the objectives do not", "[search][fronts]") {
  Front by_guides(By::guides, 10), by_objectives(By::objectives, 10);
  for (Front* front : {&by_guides, &by_objectives}) front->take(make_find({-1, 4}, {-1, 3.9}));
  CHECK(by_guides.take(make_find({-1, 4}, {-1, 3.2})));
  CHECK_FALSE(by_objectives.take(make_find({-1, 4}, {-1, 3.2})));
}

TEST_CASE("the share is the hypervolume between worst and best", "[search][fronts]") {
  Goals goals;
  goals.pareto = {&find_criterion("joints"), &find_criterion("openness")};  // 360 .. 0, 0 .. 0.9
  Front a, b;
  CHECK(measure_share(goals, {&a, &b}) == 0);
  a.take(make_find({180, -0.45}));
  CHECK(measure_share(goals, {&a, &b}) == Approx(0.25));
  b.take(make_find({90, -0.225}));  // a quarter of the joints, a quarter of the openness
  CHECK(measure_share(goals, {&a, &b}) == Approx(0.25 + 0.25 * 0.25));
}
