#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/building/day.h"
#include "engine/random.h"
#include "results/reports/tune_report.h"
#include "search/space/parameter_space.h"
#include "search/tune/parts.h"
#include "search/tune/steps.h"
#include "search/tune/tune.h"
#include "tests/support/draws.h"
#include "tests/support/random_designs.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

const Limits easy_limits = test::make_easy_limits(15, 8, 10);

std::vector<Design> find_designs(std::size_t wanted) {
  std::vector<Design> designs;
  for (std::uint64_t index = 0; index < 400 && designs.size() < wanted; ++index) {
    const auto design = test::make_random_design("D5", easy_limits, index);
    if (design && inspect(*design, 1).buildable()) designs.push_back(*design);
  }
  return designs;
}

}  // namespace

TEST_CASE("a gain is how many times better, weighted", "[tune][goal]") {
  TuneGoal goal;
  goal.weights = {{&find_criterion("joints"), 1}};
  Score before, after;
  before.joints = 120;
  after.joints = 90;
  CHECK(goal.measure_gain(before, after) == Approx(std::log(120.0 / 90)));
  CHECK(goal.measure_gain(before, before) == 0);
  // A third of the weight on what became half as stiff.
  goal.weights = {{&find_criterion("joints"), 2}, {&find_criterion("stiffness"), 1}};
  before.stiffness = 0.04;
  after.stiffness = 0.02;
  CHECK(goal.measure_gain(before, after) == Approx((2 * std::log(120.0 / 90) - std::log(2.0)) / 3));
  CHECK(goal.describe() == "joints=2,stiffness");
  // What does not fit its sheet loses, and what comes to fit wins.
  goal.weights = {{&find_criterion("sheets"), 1}};
  before.sheets = 0;
  after.sheets = 12;
  CHECK(goal.measure_gain(before, after) > 1);
  CHECK(goal.measure_gain(after, before) < -1);
}

TEST_CASE("what was not measured is no gain, and loses to what was", "[tune][goal]") {
  Score known, unknown;
  known.hours = known.closure_mm = 3;
  known.module_opening_mm = 300;
  known.hard_steps = known.spring_steps = 3;
  for (const char* name : {"hours", "module_opening", "closure", "hard_steps", "spring_steps"}) {
    CAPTURE(name);
    TuneGoal goal;
    goal.weights = {parse_weight(name)};
    goal.also = {&find_criterion(name)};
    CHECK(goal.measure_gain(known, unknown) < -1);
    CHECK(goal.measure_gain(unknown, known) == 0);
    CHECK(goal.measure_gain(unknown, unknown) == 0);
    CHECK(goal.measure_also(known) < goal.measure_also(unknown));
    Score better = known;
    better.hours = better.module_opening_mm = better.closure_mm = 0;
    better.hard_steps = better.spring_steps = 0;
    CHECK(goal.measure_gain(known, better) > 1);
  }
}

TEST_CASE("tune serves any criterion, and lists nothing that the run beats", "[tune][goal]") {
  const std::vector<Design> designs = find_designs(2);
  REQUIRE(designs.size() == 2);
  Evaluator one(1), two(2);
  int improved = 0;
  for (const char* name : {"mass", "openness", "shortest_joint", "joints", "sheets", "hours"})
    for (const Design& design : designs) {
      CAPTURE(name);
      TuneOptions options;
      options.goal.weights = {parse_weight(name)};
      options.placings = 40;
      options.refinements = 1;
      options.evaluations = 60;
      options.keep_look = 0.6;
      options.keep_stiffness = 0;
      const TuneResult result = tune(design, options, one);
      CHECK(write_tune_json(result) == write_tune_json(tune(design, options, two)));
      CHECK(result.variants.empty() == !result.why_none.empty());
      improved += !result.variants.empty();
      const Criterion& criterion = *options.goal.weights[0].criterion;
      for (const TunedVariant& variant : result.variants) {
        // By the whole construction, from coordinates alone.
        Inspection truth = inspect(variant.design);
        Inspection old = inspect(design);
        measure_building(truth.design, 1000, true);
        measure_building(old.design, 1000, true);
        const double before = criterion.measure(old.design.score);
        const double after = criterion.measure(truth.design.score);
        CHECK((criterion.more_is_better() ? after > before : after < before));
        for (const TradeOffPoint& point : result.curve)
          if (point.within)
            CHECK_FALSE((point.gain > variant.gain + 1e-9 &&
                         point.stiffness_share > variant.stiffness_share + 1e-9 &&
                         point.look > variant.look.kept() + 1e-9));
      }
      for (std::size_t i = 0; i + 1 < result.variants.size(); ++i)
        CHECK(result.variants[i].gain >= result.variants[i + 1].gain - 0.011);
      // Nothing goes on that is told to end before it began.
      const TuneResult ended =
          tune(design, options, one, [](const TuneProgress&) { return false; });
      CHECK(ended.variants.empty());
    }
  CHECK(improved >= 6);
}

TEST_CASE("a joint that is given up leaves a gap that looks meant", "[tune][goal]") {
  Evaluator evaluator(2);
  int gone = 0, meant = 0;
  for (const Design& design : find_designs(6)) {
    TuneOptions options;
    options.placings = 60;
    options.refinements = 1;
    options.evaluations = 80;
    options.keep_look = 0.5;
    options.keep_stiffness = 0;
    const TuneResult result = tune(design, options, evaluator);
    for (const TunedVariant& variant : result.variants) {
      Placed before, after;
      const TuneJob job = make_tune_job(design, before);
      make_tune_job(variant.design, after);
      for (std::size_t i = 0; i < job.scheme.pairs.size(); ++i) {
        const PairClass& pair = job.scheme.pairs[i];
        if (!job.joined[i] || !find_class_joints(after, pair).empty()) continue;
        for (const PairJoint& joint : find_class_joints(before, pair)) {
          const double opening = measure_opening(job, before, after, joint);
          if (joint.contact.length() < 40) continue;
          UNSCOPED_INFO("opening " << opening << " of a joint of " << joint.contact.length());
          ++gone;
          meant += opening >= meant_gap * job.thickness_mm - 0.5;
        }
      }
    }
  }
  INFO(meant << " of " << gone);
  CHECK(gone >= 3);
  CHECK(meant == gone);
}

TEST_CASE("a design of the search is trimmed anew from what its recipe draws", "[tune][goal]") {
  const Branch branch = make_branch("T", "generic", "arcs");
  VariantWorkspace work;
  Draft draft;
  Variant variant;
  int known = 0;
  for (std::uint64_t number = 0; number < 4000 && known < 3; ++number) {
    RandomStream random(8, Purpose::test, number);
    const UnitPoint point = test::draw_point(branch.dimension(), random);
    const std::vector<double> values = to_values(branch, point);
    make_draft(branch, values, draft);
    make_variant(branch.scheme, draft, easy_limits, work, variant);
    if (variant.status != Status::ok) continue;
    ++known;
    Design design = make_design(branch.scheme, variant, easy_limits);
    design.recipe = {branch.symmetry, branch.plane, branch.family, values, 8, number};
    Placed placed;
    TuneJob job = make_tune_job(design, placed);
    job.room = std::min(1.0, measure_room(job, placed));
    const std::optional<DrawnOutline> drawn = find_drawn_outline(design, placed);
    REQUIRE(drawn);
    CHECK(measure_area(drawn->outline) >= measure_area(placed.outline) * (1 - 1e-6));
    // At rest it gives the design again, but for tips that were blunted.
    const std::vector<DrawnPart> parts = find_drawn_parts(job, placed, drawn);
    Placed again;
    REQUIRE(make_moved(job, parts[0], {}, UnitPoint(move_count, 0.5), again));
    CHECK(measure_overlap(placed.outline, again.outline) > 0.98);
    // An outline that was changed since is not what the recipe draws.
    Placed larger = placed;
    const Vec2 centre = measure_centroid(larger.outline);
    for (Vec2& p : larger.outline) p = centre + 1.5 * (p - centre);
    CHECK_FALSE(find_drawn_outline(design, larger));
  }
  CHECK(known == 3);
}

TEST_CASE("a tuning ends within a round, and tells what became of all it tried", "[tune][goal]") {
  Evaluator one(1), two(2);
  int ended = 0;
  for (const Design& design : find_designs(3)) {
    TuneOptions options;
    options.goal.weights = {parse_weight("mass")};
    options.placings = 1000;
    options.refinements = 6;
    options.evaluations = 100000;  // for minutes, were it asked between rounds alone
    const auto go_on = [](const TuneProgress& so_far) { return so_far.tried < 500; };
    std::uint64_t tried = 0;
    const TuneResult result = tune(design, options, one, [&](const TuneProgress& so_far) {
      tried = std::max(tried, so_far.tried);
      return go_on(so_far);
    });
    CHECK(tried >= 500);
    CHECK(tried < 1000);
    CHECK(write_tune_json(result) == write_tune_json(tune(design, options, two, go_on)));
    // Within a refinement.
    std::atomic<int> asked{0};
    options.placings = 0;
    tune(design, options, two, [&](const TuneProgress&) { return ++asked < 300; });
    ended += asked == 300;
    const TuneResult none = tune(design, options, two, [](const TuneProgress&) { return false; });
    CHECK_THAT(none.why_none,
               Catch::Contains("No change was tried") && Catch::Contains("before all was tried"));
  }
  CHECK(ended >= 1);
}
