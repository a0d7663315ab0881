#include "engine/building/effort.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/found_designs.h"

using namespace sixtyfold;

TEST_CASE("the hours are those of the cutting plan and of the hands", "[effort]") {
  for (const Design& design : make_found_designs({"I", "D5"}, 3, 7)) {
    EffortAssumptions assumptions;
    CuttingOptions cutting = assumptions.cutting;
    cutting.thickness_mm = design.thickness_mm;
    const Panel& panel = design.orbits[0].panel;
    const int copies = static_cast<int>(design.orbits[0].copies.size());
    const CuttingPlan plan =
        plan_cutting(panel.flat_pattern_mm.empty() ? panel.outline_mm : panel.flat_pattern_mm,
                     panel.holes_mm, copies, cutting);
    const BuildEffort effort = measure_build_effort(design, assumptions);
    CHECK(effort.cutting_hours == Approx(plan.total_time_min / 60));
    CHECK(effort.person_hours ==
          Approx((plan.total_time_min + 2.0 * copies + 4.0 * design.score.joints) / 60));
    // A slower hand takes longer; board too thick to stack is cut one by one.
    assumptions.minutes_per_joint = 8;
    CHECK(measure_build_effort(design, assumptions).person_hours > effort.person_hours);
    Design thick = design;
    thick.thickness_mm = 40;
    CHECK(measure_build_effort(thick).cutting_hours >= effort.cutting_hours);
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
