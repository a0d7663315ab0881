#include "search/keep/archive.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "engine/random.h"
#include "search/keep/kept.h"
#include "search/run/run_plan.h"
#include "tests/support/qd_score.h"

using namespace sixtyfold;

namespace {

Trial make_trial(double quality, std::vector<double> measures, double violation = 0) {
  return {{0.5}, {violation, quality, {-quality}, std::move(measures)}};
}

}  // namespace

TEST_CASE("coverage and QD score of four elites in sixteen cells", "[search][archive]") {
  // The definitions of Pugh, Soros and Stanley 2016 by hand.
  GridArchive archive({4, 4});
  archive.insert(make_trial(1, {0.1, 0.1}));
  archive.insert(make_trial(2.5, {0.4, 0.1}));
  archive.insert(make_trial(0, {0.1, 0.9}));
  archive.insert(make_trial(-1, {0.9, 0.9}));
  CHECK(archive.coverage() == 4.0 / 16);
  CHECK(archive.cell_count() == 16);
  CHECK(measure_qd_score(archive) == 2.5);
  CHECK(measure_qd_score(archive, -2) == 10.5);
}

TEST_CASE("a cell keeps its best, the first of equals", "[search][archive]") {
  GridArchive archive({2});
  CHECK(archive.insert(make_trial(1, {0.2})) == Insertion::new_cell);
  CHECK(archive.insert(make_trial(1, {0.3})) == Insertion::rejected);
  CHECK(archive.insert(make_trial(0.5, {0.2})) == Insertion::rejected);
  CHECK(archive.insert(make_trial(2, {0.4})) == Insertion::improved);
  REQUIRE(archive.elites().size() == 1);
  CHECK(archive.elites()[0] == make_trial(2, {0.4}));
}

TEST_CASE("nothing infeasible or not finite enters an archive", "[search][archive]") {
  GridArchive archive({2});
  CHECK(archive.insert(make_trial(5, {0.2}, 0.1)) == Insertion::rejected);
  CHECK(archive.insert(make_trial(5, {0.2}, std::numeric_limits<double>::infinity())) ==
        Insertion::rejected);
  CHECK(archive.insert(make_trial(NAN, {0.2})) == Insertion::rejected);
  CHECK(archive.insert(make_trial(5, {NAN})) == Insertion::rejected);
  CHECK(archive.insert(make_trial(5, {0.2}, NAN)) == Insertion::rejected);
  CHECK(archive.elites().empty());
}

TEST_CASE("measures outside the box go to the border cells", "[search][archive]") {
  const GridArchive archive({3, 5});
  CHECK(archive.find_cell(std::vector<double>{-1, 2}) ==
        archive.find_cell(std::vector<double>{0, 1}));
  CHECK(archive.find_cell(std::vector<double>{1, 1}) == 14);
  CHECK(archive.find_cell(std::vector<double>{0, 0}) == 0);
  CHECK(archive.find_cell(std::vector<double>{0.999, 0.999}) == 14);
}

TEST_CASE("an archive restored from a checkpoint is the same and goes on the same",
          "[search][archive]") {
  GridArchive archive({8, 8});
  RandomStream stream(3, Purpose::test, 0);
  const auto random_trial = [&] {
    const double quality = stream.uniform();
    return make_trial(quality, {stream.uniform(), stream.uniform()});
  };
  for (int i = 0; i < 100; ++i) archive.insert(random_trial());
  State written;
  archive.exchange(written);
  GridArchive restored({8, 8});
  State read(written.bytes());
  restored.exchange(read);
  CHECK(read.at_end());
  CHECK(restored.elites() == archive.elites());
  for (int i = 0; i < 100; ++i) {
    const Trial trial = random_trial();
    CHECK(restored.insert(trial) == archive.insert(trial));
  }
  CHECK(restored.elites() == archive.elites());
}

TEST_CASE("a damaged checkpoint is refused at every length", "[search][archive]") {
  GridArchive archive({4});
  archive.insert(make_trial(1, {0.1}));
  archive.insert(make_trial(1, {0.6}));
  State written;
  archive.exchange(written);
  for (std::size_t length = 0; length < written.bytes().size(); ++length) {
    State read(written.bytes().substr(0, length));
    GridArchive restored({4});
    CHECK_THROWS_AS(restored.exchange(read), std::invalid_argument);
  }
}

TEST_CASE("a long run's curve is told of from its beginning on, evenly", "[search][archive]") {
  RunPlan plan;
  plan.choice.symmetries = {"D3"};
  plan.budget = 1;
  const SearchTask task = make_task(plan);
  Kept kept(task);
  Scored nothing;
  nothing.trial = make_trial(0, {}, 1);
  nothing.trial.point.assign(task.branches[0].parameters.size(), 0.5);
  for (int i = 0; i < 12000; ++i) {
    kept.take(nothing);
    kept.add_curve_row(0);
  }
  const std::vector<CurveRow>& curve = kept.curve();
  CHECK(curve.size() == 512);
  CHECK(curve.front().evaluated == 1);
  CHECK(curve.back().evaluated == 12000);
  for (std::size_t i = 1; i + 1 < curve.size(); ++i)
    CHECK(curve[i].evaluated - curve[i - 1].evaluated <= 3 * 12000 / 512);
}
