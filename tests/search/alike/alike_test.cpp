#include "search/alike/alike.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/variant/inspection.h"
#include "search/choose/design_look.h"
#include "search/run/run.h"
#include "search/run/run_plan.h"
#include "search/tune/look_overlap.h"

using namespace sixtyfold;

namespace {

/// A short search's best finds: two of each of two groups.
struct Found {
  SearchTask task;
  std::vector<Parent> parents;
};
Found find_some() {
  RunPlan plan;
  plan.choice = {{"T", "D5"}, {"generic"}, {"radial", "straight"}};
  plan.budget = 4000;
  plan.seed = 8;
  Found found;
  Run run(plan);
  Evaluator evaluator(2);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  found.task = run.task();
  found.task.goals.bounds.clear();
  const std::vector<Pool> pools = run.make_pools();
  std::vector<int> taken(found.task.branches.size());
  for (const Find& find : pools.front().finds)
    if (found.parents.size() < 3 && taken[static_cast<std::size_t>(find.branch)]++ == 0)
      found.parents.push_back({"a find", {find.branch, find.point}});
  return found;
}

}  // namespace

TEST_CASE("relatives lie as far from their parent as was asked, can be built and differ",
          "[alike]") {
  const Found found = find_some();
  REQUIRE(found.parents.size() >= 2);
  Evaluator evaluator(2);
  for (const double near : {0.15, 0.35}) {
    AlikeOptions options;
    options.near = near;
    options.each = 3;
    const Relatives relatives =
        find_alike(found.task, found.parents, {}, options, evaluator,
                   [](const Relatives& so_far) { return so_far.evaluated < 60000; });
    CHECK(relatives.found.size() >= found.parents.size());
    std::vector<Look> looks;
    for (const Relative& relative : relatives.found) {
      const Design parent =
          make_parent_design(found.task, found.parents[static_cast<std::size_t>(relative.parent)]);
      CHECK(relative.distance == Approx(near).margin(0.041));
      CHECK(measure_look_distance(parent, relative.design) ==
            Approx(relative.distance).margin(0.01));
      CHECK(inspect(relative.design).buildable());
      CHECK(relative.design.score.hard_steps == 0);
      CHECK_FALSE(relative.changes.empty());
      for (const Look& look : looks)
        CHECK(measure_look_difference(look, find_look(relative.design)) >= 0.1);
      looks.push_back(find_look(relative.design));
    }
  }
}

TEST_CASE("relatives are the same at any number of threads, and what is unlike is kept away",
          "[alike]") {
  const Found found = find_some();
  AlikeOptions options;
  options.near = 0.25;
  options.each = 2;
  options.budget = 6000;
  const auto go_on = [](const Relatives&) { return true; };
  const std::vector<Parent> one = {found.parents.front()};
  Evaluator single(1), both(2);
  const Relatives a = find_alike(found.task, one, {}, options, single, go_on);
  const Relatives b = find_alike(found.task, one, {}, options, both, go_on);
  REQUIRE(a.found.size() == b.found.size());
  REQUIRE_FALSE(a.found.empty());
  for (std::size_t i = 0; i < a.found.size(); ++i)
    CHECK(a.found[i].find.point == b.found[i].find.point);
  CHECK(a.evaluated == b.evaluated);
  // Nothing may look like the first of them: whatever comes now lies away from it.
  const Design unwanted = a.found.front().design;
  const Relatives others = find_alike(found.task, one, {unwanted}, options, both, go_on);
  for (const Relative& relative : others.found)
    CHECK(measure_look_distance(unwanted, relative.design) >= options.near - 1e-9);
}

TEST_CASE("a design is no distance from itself at any size", "[alike]") {
  const Found found = find_some();
  const Design design = make_parent_design(found.task, found.parents.front());
  Design large = design;
  for (Orbit& orbit : large.orbits) {
    orbit.panel.frame.origin *= 3;
    for (Vec2& p : orbit.panel.outline_mm) p *= 3;
  }
  CHECK(measure_look_distance(design, design) == Approx(0).margin(1e-4));
  CHECK(measure_look_distance(design, large) == Approx(0).margin(1e-4));
}

TEST_CASE("what changed is told by the most telling numbers", "[alike]") {
  Score before;
  before.joints = 90;
  before.diameter_mm = 2000;
  before.stiffness = 0.01;
  before.slenderness = 0.3;
  Score after = before;
  CHECK(describe_changes(before, after).size() == 1);
  after.joints = 60;
  after.slenderness = 0.2;
  const auto words = describe_changes(before, after);
  REQUIRE(words.size() == 2);
  CHECK(words[0] == "30 joints fewer");
  CHECK(words[1].rfind("slimmer parts", 0) == 0);
}

TEST_CASE("options and parents that make no sense are refused", "[alike]") {
  const Found found = find_some();
  Evaluator evaluator(1);
  AlikeOptions options;
  const auto go_on = [](const Relatives&) { return true; };
  CHECK_THROWS_AS(find_alike(found.task, {}, {}, options, evaluator, go_on), std::invalid_argument);
  options.near = std::nan("");
  CHECK_THROWS_AS(find_alike(found.task, found.parents, {}, options, evaluator, go_on),
                  std::invalid_argument);
}
