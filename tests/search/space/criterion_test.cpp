#include "search/space/criterion.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

using namespace sixtyfold;

namespace {

Score make_score() {
  Score score;
  score.panels = 60;
  score.joints = 120;
  score.openness = 0.45;
  score.mean_angle_error_deg = 7;
  score.joint_cover = 0.9;
  score.min_width_mm = 60;
  score.shortest_joint_mm = 100;
  score.stiffness = 0.01;
  score.appeal = 0.6;
  return score;
}

}  // namespace

TEST_CASE("criteria have different names and a range to tell apart", "[search][criterion]") {
  std::set<std::string> names;
  for (const Criterion& criterion : criteria()) {
    CHECK(names.insert(criterion.name).second);
    CHECK(criterion.worst != criterion.best);
    CHECK(!criterion.description.empty());
    CHECK(std::isfinite(criterion.measure(Score{})));
  }
  CHECK_THROWS_WITH(find_criterion("beauty"), Catch::Contains("stiffness"));
}

TEST_CASE("better in any weighted criterion is better in all", "[search][criterion]") {
  const Goals goals;
  const double quality = measure_quality(goals, make_score());
  CHECK(quality > 0);
  CHECK(quality <= 1);
  const auto with = [&](auto change) {
    Score score = make_score();
    change(score);
    return measure_quality(goals, score);
  };
  CHECK(with([](Score& s) { s.mean_angle_error_deg = 3; }) > quality);
  CHECK(with([](Score& s) { s.joint_cover = 1; }) > quality);
  CHECK(with([](Score& s) { s.appeal = 0.4; }) < quality);
  CHECK(with([](Score& s) { s.appeal = 0.9; }) > quality);
  // Openness was in the ranking once, and had nothing to do with what people liked: an open and a
  // closed design of the same appeal rank alike.
  CHECK(with([](Score& s) { s.openness = 0.1; }) == quality);
  CHECK(with([](Score& s) { s.joints = 200; }) < quality);
  CHECK(with([](Score& s) { s.stiffness = 0; }) < quality);
  // One number at its worst does not hide the others.
  CHECK(with([](Score& s) { s.stiffness = 0; }) > 0);
}

TEST_CASE("weights and limits are read as people write them", "[search][criterion]") {
  CHECK(parse_weight("joints").weight == 1);
  CHECK(parse_weight("joints=2.5").weight == 2.5);
  CHECK(parse_weight("joints=2.5").criterion->name == "joints");
  CHECK(parse_bound("joints<=120").high == 120);
  CHECK(std::isinf(parse_bound("joints<=120").low));
  CHECK(parse_bound("stiffness>=1e-3").low == 1e-3);
  for (const char* text : {"joints=", "joints=-1", "joints=nan", "joints=2x", "beauty=1", ""})
    CHECK_THROWS_AS(parse_weight(text), std::invalid_argument);
  for (const char* text : {"joints", "joints<120", "joints<=", "joints<=x", "beauty<=1", "<=3",
                           "joints<=inf", "joints==3"})
    CHECK_THROWS_AS(parse_bound(text), std::invalid_argument);
}

TEST_CASE("bounds measure how far they are missed and NaN never passes", "[search][criterion]") {
  Goals goals;
  goals.bounds = {parse_bound("joints<=100")};
  CHECK(measure_shortfall(goals, make_score()) == Approx(20.0 / 360));
  goals.bounds = {parse_bound("joints<=120"), parse_bound("openness>=0.4")};
  CHECK(measure_shortfall(goals, make_score()) == 0);
  Score score = make_score();
  score.openness = std::nan("");
  CHECK(measure_shortfall(goals, score) > 0);
}

TEST_CASE("between two scores only what neither can mend is surely missed", "[search][criterion]") {
  Goals goals;
  Score sure = make_score(), hoped = make_score();
  sure.sheets = 60, hoped.sheets = 25;
  const auto missed = [&](const char* bound) {
    goals.bounds = {parse_bound(bound)};
    CHECK(measure_sure_shortfall(goals, sure, hoped) == measure_sure_shortfall(goals, hoped, sure));
    return measure_sure_shortfall(goals, sure, hoped);
  };
  for (const char* bound : {"sheets<=60", "sheets<=30", "sheets<=25", "sheets>=25", "sheets>=60"})
    CHECK(missed(bound) == 0);
  CHECK(missed("sheets<=24") == Approx(1.0 / 60));
  CHECK(missed("sheets>=61") == Approx(1.0 / 60));
  sure.openness = std::nan("");
  CHECK(missed("openness>=0.1") == 1);
}

TEST_CASE("Pareto objectives are turned so that less is better", "[search][criterion]") {
  Goals goals;
  goals.pareto = {&find_criterion("joints"), &find_criterion("stiffness")};
  CHECK(measure_objectives(goals, make_score()) == Objectives{120, -0.01});
  CHECK(goals.find_fault().empty());
  goals.pareto.pop_back();
  CHECK(!goals.find_fault().empty());
  goals.pareto = {&find_criterion("joints"), &find_criterion("joints")};
  CHECK(!goals.find_fault().empty());
  CHECK(measure_objectives(Goals{}, make_score()) ==
        Objectives{-measure_quality(Goals{}, make_score())});
}

TEST_CASE("the guide of the sheets lies above the next step and never off its own",
          "[search][criterion]") {
  Goals goals;
  goals.pareto = {&find_criterion("diameter"), &find_criterion("joints")};
  CHECK(measure_guides(goals, Score{}).empty());
  goals.pareto[1] = &find_criterion("sheets");
  Score score;
  score.panels = 24;
  score.diameter_mm = 1500;
  const auto guide = [&](int parts, double room) {
    score.parts_per_sheet = parts;
    score.parts_room = room;
    score.sheets = (score.panels - 1) / parts + 1;
    const Objectives guides = measure_guides(goals, score);
    CHECK(guides[0] == -1500);
    return guides[1];
  };
  CHECK(guide(6, 6) == 4);
  CHECK(guide(7, 7) == Approx(24.0 / 7));
  CHECK(guide(7, 7.9) == Approx(24 / 7.9));
  CHECK(guide(8, 8) == 3);
  CHECK(guide(5, 5.2) == Approx(24 / 5.2));
  CHECK(guide(5, 7.5) == Approx(4.001));  // two rows of half a part more: not a part yet
  score.parts_room = 0;                   // after a full nest
  CHECK(measure_guides(goals, score)[1] == 5);
}
