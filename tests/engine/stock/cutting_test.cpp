#include "engine/stock/cutting.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <stdexcept>

using namespace sixtyfold;

namespace {

const Polygon square{{0, 0}, {200, 0}, {200, 200}, {0, 200}};

CuttingOptions make_options() {
  CuttingOptions options;
  options.thickness_mm = 4;
  options.cutting_height_mm = 25;
  options.feed_mm_per_min = 400;
  options.corner_s = 6;
  options.stack_s = 120;
  options.blank_border_mm = 10;
  return options;
}

}  // namespace

// Stacks = ceil(copies / blanks per stack), blanks per stack = cutting height / thickness
// by definition; a stack of about 25 mm: common practice, no published source.
TEST_CASE("stacks, length, corners and time add up", "[stock][cutting]") {
  const CuttingPlan plan = plan_cutting(square, {}, 60, make_options());
  CHECK(plan.blanks_per_stack == 6);
  CHECK(plan.stacks == 10);
  CHECK(plan.cut_length_mm == Approx(800));
  CHECK(plan.sharp_turns == 4);
  CHECK(plan.time_per_stack_min == Approx(800.0 / 400 + (4 * 6 + 120) / 60.0));
  CHECK(plan.total_time_min == Approx(10 * plan.time_per_stack_min));
  CHECK(plan.blank_mm.x() == Approx(220));
  CHECK(plan.warnings.empty());
  CHECK(plan_cutting(square, {}, 61, make_options()).stacks == 11);
}

TEST_CASE("a stack exactly as high as allowed is allowed", "[stock][cutting]") {
  CuttingOptions options = make_options();
  options.thickness_mm = 0.1, options.cutting_height_mm = 0.3;
  CHECK(plan_cutting(square, {}, 60, options).blanks_per_stack == 3);
  options.thickness_mm = 30, options.cutting_height_mm = 25;
  const CuttingPlan plan = plan_cutting(square, {}, 60, options);
  CHECK(plan.blanks_per_stack == 0);
  CHECK(plan.stacks == 0);
  REQUIRE(plan.warnings.size() == 1);
  CHECK(plan.warnings[0].find("30 mm thick") != std::string::npos);
}

TEST_CASE("a round outline has no sharp turns, holes add length and a warning",
          "[stock][cutting]") {
  Polygon circle;
  for (int i = 0; i < 180; ++i)
    circle.emplace_back(90 * std::cos(i * pi / 90), 90 * std::sin(i * pi / 90));
  CHECK(plan_cutting(circle, {}, 60, make_options()).sharp_turns == 0);
  Polygon big = square;
  for (Vec2& p : big) p = p * 2 - Vec2{200, 200};
  const CuttingPlan plan = plan_cutting(big, {circle}, 60, make_options());
  CHECK(plan.cut_length_mm == Approx(1600 + 2 * pi * 90).epsilon(1e-3));
  CHECK(plan.holes == 1);
  CHECK(plan.warnings.size() == 1);
  // Started in every stack: the time says so.
  CuttingOptions quick = make_options();
  quick.hole_s = 0;
  CHECK(plan.total_time_min - plan_cutting(big, {circle}, 60, quick).total_time_min ==
        Approx(plan.stacks * make_options().hole_s / 60));
}

// Cutting along the side of a square blank of side s, the column stands behind the blade, so the
// blank reaches at most s there and, cut the other way, what is left: elementary.
TEST_CASE("the throat that a square needs", "[stock][cutting]") {
  CuttingOptions options = make_options();
  options.blank_border_mm = 0;
  options.throat_mm = 101;
  const CuttingPlan plan = plan_cutting(square, {}, 60, options);
  CHECK(plan.reach.needed_mm == Approx(100).margin(3));
  CHECK(plan.reach.all);
  options.throat_mm = 60;
  const CuttingPlan narrow = plan_cutting(square, {}, 60, options);
  CHECK_FALSE(narrow.reach.all);
  // On each side the middle 80 mm lie further than 60 mm from both ends.
  CHECK(narrow.reach.unreachable_mm == Approx(4 * 80).margin(25));
  REQUIRE(narrow.warnings.size() == 1);
  CHECK(narrow.warnings[0].find("throat") != std::string::npos);
}

TEST_CASE("a wider throat never makes more unreachable", "[stock][cutting]") {
  Polygon part;
  for (int i = 0; i < 48; ++i) {
    const double t = i * pi / 24, r = 300 * (1 + 0.4 * std::cos(3 * t));
    part.emplace_back(r * std::cos(t), r * std::sin(t));
  }
  double last = 1e9;
  for (const double throat : {50.0, 150.0, 250.0, 400.0, 600.0, 900.0}) {
    CuttingOptions options = make_options();
    options.throat_mm = throat;
    const double unreachable = plan_cutting(part, {}, 60, options).reach.unreachable_mm;
    CHECK(unreachable <= last);
    last = unreachable;
  }
  CHECK(last == 0);
}

TEST_CASE("cutting options out of range are named, cautions are always there", "[stock][cutting]") {
  CuttingOptions options = make_options();
  options.feed_mm_per_min = std::nan("");
  CHECK_THROWS_AS(plan_cutting(square, {}, 60, options), std::invalid_argument);
  CHECK_THROWS_AS(plan_cutting(square, {}, 0, make_options()), std::invalid_argument);
  CHECK(make_knife_options(4).find_fault().empty());
  for (const CutTool tool : {CutTool::knife, CutTool::scroll_saw}) {
    std::string all;
    for (const std::string& sentence : find_cutting_cautions(tool)) all += sentence;
    CHECK(all.find("local law") != std::string::npos);
  }
}
