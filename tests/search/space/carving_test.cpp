#include "search/space/carving.h"

#include <catch2/catch.hpp>

#include "engine/random.h"
#include "engine/variant/inspection.h"
#include "search/space/parameter_space.h"
#include "tests/support/balls.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

TEST_CASE("the group carries the body into itself", "[space][carved]") {
  RandomStream random(71, Purpose::test, 0);
  for (const char* symbol : {"I", "Td", "O", "D5", "C3", "Cs", "Ih"}) {
    const PointGroup group = make_point_group(symbol);
    const AxisOrbits axes = find_axis_orbits(group);
    for (int trial = 0; trial < 20; ++trial) {
      const std::vector<double> values = test::draw_values(carved_family().parameters, random);
      Body body;
      make_body(axes, values, 1.3, body);
      for (const Mat3& g : group.elements)
        for (const auto* balls : {&body.solids, &body.hollows})
          for (const Ball& ball : *balls)
            CHECK(std::any_of(balls->begin(), balls->end(), [&](const Ball& other) {
              return (g * ball.centre - other.centre).norm() < 1e-9 &&
                     ball.radius == other.radius && ball.stretch == other.stretch &&
                     (ball.stretch == 1 || (g * ball.axis).cross(other.axis).norm() < 1e-9);
            }));
    }
  }
}

TEST_CASE("carved panels: arcs on their balls, hollows empty, numbers as check's",
          "[space][carved]") {
  RandomStream random(72, Purpose::test, 0);
  VariantWorkspace work;
  Variant variant;
  Draft draft;
  int built = 0, stretched = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "Ih", "Oh", "D3h"})
    for (const Branch& branch : find_branches({{symbol}, {}, {"carved"}}, Limits{})) {
      int ok = 0;
      for (int trial = 0; trial < 150 && ok < 2; ++trial) {
        const UnitPoint point = test::draw_point(branch.dimension(), random);
        const std::vector<double> values = to_values(branch, point);
        make_draft(branch, values, draft);
        CAPTURE(branch.symmetry, branch.plane, trial);
        const Body body = make_body(branch, values);
        const Frame frame = make_frame(draft.normal, draft.distance);
        for (const Vec2& p : draft.outline) {
          double miss = 1;
          for (const auto* balls : {&body.solids, &body.hollows})
            for (const Ball& ball : *balls)
              miss = std::min(miss, std::abs(test::measure_miss(ball, frame.to_space(p))));
          for (const HalfSpace& facet : body.facets)
            miss = std::min(miss, std::abs(facet.normal.dot(frame.to_space(p)) - facet.distance));
          REQUIRE(miss < 1e-9);
        }
        Limits limits;
        limits.min_joint_mm = limits.min_width_mm = 5;
        limits.allow_flexible = true;
        make_variant(branch.scheme, draft, limits, work, variant);
        if (variant.status != Status::ok) continue;
        ++ok;
        stretched += body.solids.front().stretch != 1;
        const Design design = make_design(branch.scheme, variant, limits);
        const Inspection inspection = inspect(design);
        CHECK(inspection.design.score.collisions == 0);
        CHECK(inspection.design.score.joints == variant.score.joints);
        CHECK(inspection.design.score.pieces == 1);
        // Board in a hollow: no corner of any copy, but for rounding.
        for (const Orbit& orbit : design.orbits)
          for (const Vec2& p : orbit.panel.outline_mm)
            for (const Ball& ball : body.hollows)
              CHECK((orbit.panel.frame.to_space(p) / variant.scale_mm - ball.centre).norm() >
                    ball.radius - 0.005);
      }
      built += ok;
    }
  CHECK(built > 40);
  CHECK(stretched > 5);
}
