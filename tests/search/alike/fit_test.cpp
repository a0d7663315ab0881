#include "search/alike/fit.h"

#include <catch2/catch.hpp>

#include "engine/variant/inspection.h"
#include "search/alike/alike.h"
#include "search/run/run.h"
#include "search/run/run_plan.h"

using namespace sixtyfold;

namespace {

/// A find of a short search in one group, without what tells how it was made.
Design find_bare(const std::string& group, const std::vector<std::string>& planes) {
  RunPlan plan;
  plan.choice = {{group}, planes, {"radial", "straight", "limbs"}};
  plan.budget = 3000;
  plan.seed = 5;
  Run run(plan);
  Evaluator evaluator(2);
  RunContext context;
  run.go_on(evaluator, context, [] {});
  const std::vector<Pool> pools = run.make_pools();
  REQUIRE_FALSE(pools.front().finds.empty());
  const Find& find = pools.front().finds.front();
  Design design = make_parent_design(run.task(), {"", {find.branch, find.point}, {}});
  design.recipe = {};
  return design;
}

}  // namespace

TEST_CASE("a find whose recipe is lost is fitted, and looks are measured to the find itself",
          "[alike]") {
  Evaluator evaluator(2);
  for (const char* group : {"I", "O", "D5", "Td"}) {
    INFO(group);
    const Design design = find_bare(group, {"generic", "sector", "square"});
    const std::optional<Fit> fit = find_fit(design, design.limits, 1, evaluator);
    REQUIRE(fit);
    CHECK(fit->recipe.symmetry == group);
    CHECK(fit->look >= 0.9);
    // The design told by another of its copies is the same construction.
    const Inspection before = inspect(design, 1), after = inspect(fit->given, 1);
    CHECK(after.faults == before.faults);
    CHECK(after.design.joints.size() == before.design.joints.size());
    CHECK(measure_enclosing_radius(fit->given) == Approx(measure_enclosing_radius(design)));
    // What the recipe draws has the look that was told.
    SearchTask task;
    task.limits = design.limits;
    task.branches = {make_branch(fit->recipe.symmetry, fit->recipe.plane, fit->recipe.family)};
    const Parent parent = {"", {0, to_unit_point(task.branches[0], fit->recipe.parameters)}, {}};
    CHECK(1 - measure_look_distance(fit->given, make_parent_design(task, parent)) ==
          Approx(fit->look).margin(0.005));
  }
}

TEST_CASE("a fit is the same at any number of threads", "[alike]") {
  const Design design = find_bare("D5", {"generic"});
  Evaluator single(1), both(2);
  const std::optional<Fit> a = find_fit(design, design.limits, 3, single);
  const std::optional<Fit> b = find_fit(design, design.limits, 3, both);
  REQUIRE(a);
  REQUIRE(b);
  CHECK(a->recipe.plane == b->recipe.plane);
  CHECK(a->recipe.family == b->recipe.family);
  CHECK(a->recipe.parameters == b->recipe.parameters);
  CHECK(a->look == b->look);
}

TEST_CASE("what no branch can be like is not fitted", "[alike]") {
  Evaluator evaluator(1);
  Design design = find_bare("D5", {"generic"});
  Limits fewer = design.limits;
  fewer.max_panels = 6;  // D5 has ten or five, this one ten
  CHECK_FALSE(find_fit(design, fewer, 1, evaluator));
  design.orbits.push_back(design.orbits.front());
  CHECK_THROWS_AS(find_fit(design, design.limits, 1, evaluator), std::invalid_argument);
}

TEST_CASE("relatives of a fitted design lie as far from the design itself as was asked",
          "[alike]") {
  Evaluator evaluator(2);
  const Design design = inspect(find_bare("D5", {"generic"}), 1).design;
  const std::optional<Fit> fit = find_fit(design, design.limits, 1, evaluator);
  REQUIRE(fit);
  SearchTask task;
  task.limits = design.limits;
  task.branches = {make_branch(fit->recipe.symmetry, fit->recipe.plane, fit->recipe.family)};
  const Parent parent = {
      "", {0, to_unit_point(task.branches[0], fit->recipe.parameters)}, fit->given};
  AlikeOptions options;
  options.near = 0.25;
  options.each = 2;
  options.budget = 20000;
  const Relatives relatives =
      find_alike(task, {parent}, {}, options, evaluator, [](const Relatives&) { return true; });
  CHECK_FALSE(relatives.found.empty());
  for (const Relative& relative : relatives.found) {
    CHECK(inspect(relative.design).buildable());
    CHECK(measure_look_distance(fit->given, relative.design) == Approx(0.25).margin(0.05));
  }
}
