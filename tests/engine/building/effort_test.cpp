#include "engine/building/effort.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/found_designs.h"

using namespace sixtyfold;

TEST_CASE("hours are work: each minute a panel or a joint takes comes once for each", "[effort]") {
  for (const Design& design : make_found_designs({"I", "D5"}, 3, 7)) {
    const auto hours = [&](double panel_min, double joint_min) {
      EffortAssumptions assumptions;
      assumptions.minutes_per_panel = panel_min;
      assumptions.minutes_per_joint = joint_min;
      return measure_build_effort(design, assumptions).person_hours;
    };
    const double cutting = measure_build_effort(design).cutting_hours;
    CHECK(cutting > 0);
    CHECK(hours(0, 0) == Approx(cutting));
    CHECK(hours(60, 0) - cutting == Approx(design.score.panels));  // an hour for each panel
    CHECK(hours(0, 60) - cutting == Approx(design.score.joints));
    CHECK(hours(3, 5) - hours(3, 0) == Approx(hours(0, 5) - hours(0, 0)));
  }
}

TEST_CASE("cutting takes longer one by one, and half as long at twice the feed", "[effort]") {
  for (const Design& design : make_found_designs({"I", "D5"}, 3, 7)) {
    const double cutting = measure_build_effort(design).cutting_hours;
    // Board too thick to stack is cut one by one.
    Design thick = design;
    thick.thickness_mm = 40;
    CHECK(measure_build_effort(thick).cutting_hours > cutting);
    // With no time for corners and for clamping the time is length / feed.
    EffortAssumptions slow;
    slow.cutting.corner_s = slow.cutting.stack_s = 0;
    EffortAssumptions fast = slow;
    fast.cutting.feed_mm_per_min *= 2;
    CHECK(measure_build_effort(design, slow).cutting_hours ==
          Approx(2 * measure_build_effort(design, fast).cutting_hours));
    EffortAssumptions knife;
    knife.cutting = make_knife_options(4);
    CHECK(measure_build_effort(design, knife).cutting_hours > 0);
  }
}

TEST_CASE("a level of difficulty for each thing that is hard, with the reason", "[effort]") {
  Design design = make_found_designs({"T"}, 1, 7).at(0);
  Score& score = design.score;
  score.joints = 12;
  score.min_angle_deg = 60;
  score.shortest_joint_mm = 200;
  score.internal_dof = 0;
  CHECK(measure_build_effort(design).difficulty == 1);
  CHECK(measure_build_effort(design).reasons.empty());
  score.joints = 150;
  score.min_angle_deg = 30;
  const BuildEffort harder = measure_build_effort(design);
  CHECK(harder.difficulty == 3);
  REQUIRE(harder.reasons.size() == 2);
  CHECK(harder.reasons[0].kind == EffortReason::Kind::joints);
  CHECK(harder.reasons[0].value == 150);
  CHECK(harder.reasons[1].kind == EffortReason::Kind::plane_angle_deg);
  score.joints = 250;
  score.shortest_joint_mm = 70;
  score.internal_dof = 2;
  CHECK(measure_build_effort(design).difficulty == 5);
  CHECK(measure_build_effort(design).reasons.size() == 4);
}

TEST_CASE("assumptions that make no sense are refused", "[effort]") {
  const Design design = make_found_designs({"T"}, 1, 7).at(0);
  EffortAssumptions assumptions;
  assumptions.minutes_per_joint = std::nan("");
  CHECK_THROWS_AS(measure_build_effort(design, assumptions), std::invalid_argument);
  assumptions = {};
  assumptions.cutting.feed_mm_per_min = 0;
  CHECK_THROWS_AS(measure_build_effort(design, assumptions), std::invalid_argument);
}
