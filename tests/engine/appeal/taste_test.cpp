#include "engine/appeal/taste.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "engine/vectors.h"
#include "tests/support/liked_designs.h"

using namespace sixtyfold;

namespace {

std::vector<double> rank(const std::vector<double>& values) {
  std::vector<double> ranks(values.size());
  for (std::size_t i = 0; i < values.size(); ++i)
    for (const double other : values) ranks[i] += (other < values[i]) + 0.5 * (other == values[i]);
  return ranks;
}

/// Spearman 1904: Pearson's correlation of the ranks, ties sharing theirs.
double correlate_ranks(const std::vector<double>& a, const std::vector<double>& b) {
  const std::vector<double> x = rank(a), y = rank(b);
  const double n = double(x.size());
  const double mean_x = std::accumulate(x.begin(), x.end(), 0.0) / n;
  const double mean_y = std::accumulate(y.begin(), y.end(), 0.0) / n;
  double xy = 0, xx = 0, yy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xy += (x[i] - mean_x) * (y[i] - mean_y);
    xx += (x[i] - mean_x) * (x[i] - mean_x);
    yy += (y[i] - mean_y) * (y[i] - mean_y);
  }
  return xy / std::sqrt(xx * yy);
}

Score make_looks(int panels, double layers, double slenderness, double see_through,
                 double legibility, double evenness = 1) {
  Score score;
  score.panels = panels;
  score.layers = layers;
  score.slenderness = slenderness;
  score.see_through = see_through;
  score.legibility = legibility;
  score.evenness = evenness;
  return score;
}

}  // namespace

TEST_CASE("appeal goes with the marks of designs, many panels and few", "[appeal][taste]") {
  std::vector<double> appeals[2], marks[2];
  for (const LikedDesign& design : liked_designs) {
    const bool many = design.score.panels >= 24;
    appeals[many].push_back(measure_appeal(design.score));
    marks[many].push_back(design.mark);
  }
  REQUIRE(marks[1].size() == 73);
  REQUIRE(marks[0].size() == 27);
  CHECK(correlate_ranks(appeals[1], marks[1]) > 0.55);
  CHECK(correlate_ranks(appeals[0], marks[0]) > 0.6);
}

TEST_CASE("closed solids, wire frames and heaps lose against an airy cage", "[appeal][taste]") {
  const double cage = measure_appeal(make_looks(60, 1.4, 0.2, 0.07, 0.5));
  // Layers of a cube 4/pi, of an icosahedron 1.52: closed solids lie where that number is best.
  CHECK(measure_appeal(make_looks(6, 4 / pi, 0.5, 0, 0.5)) < 0.2 * cage);
  CHECK(measure_appeal(make_looks(20, 1.52, std::sqrt(3.0) / 4, 0, 0.5)) < 0.4 * cage);
  CHECK(measure_appeal(make_looks(60, 1.8, 0.3, 0, 0.5)) < 0.5 * cage);
  CHECK(measure_appeal(make_looks(60, 0.3, 0.03, 0.6, 0.9)) < 0.35 * cage);
  CHECK(measure_appeal(make_looks(10, 0.5, 0.2, 0, 0.6, 0.3)) < 0.15 * cage);
}

TEST_CASE("appeal lies in 0 to 1, and what is not known yet counts as good as can be",
          "[appeal][taste]") {
  for (const LikedDesign& design : liked_designs)
    for (const Taste& taste :
         {Taste{}, make_taste({0.3, 0, 0.5, 1, 0, 0.1}, {0.1, 0.05, 0, 0, -0.1, -0.1})}) {
      const double appeal = measure_appeal(design.score, taste);
      CHECK(appeal > 0);
      CHECK(appeal <= 1);
      CHECK(measure_appeal(design.score, taste, Known::cheap) >= appeal);
      for (std::size_t i = 0; i < appeal_term_count; ++i)
        CHECK(measure_term(i, design.score, taste) <= 0);
    }
  CHECK(measure_appeal(make_looks(60, 1.35, 0.12, 0.2, 0.7)) == Approx(1));
  CHECK(measure_appeal(Score{}) >= 0);  // nothing known at all: still a number
  CHECK(measure_appeal(Score{}) < 0.05);
}

TEST_CASE("the reason is told in plain words", "[appeal][taste]") {
  const auto cage = explain_appeal(make_looks(60, 1.4, 0.2, 0.04, 0.48));
  REQUIRE(!cage.empty());
  CHECK(std::count(cage.begin(), cage.end(), "airy: a line through it meets 1.4 panels") == 1);
  const auto ball = explain_appeal(make_looks(60, 3.5, 0.4, 0.02, 0.25));
  REQUIRE(!ball.empty());
  CHECK(ball.back() == "but dense: a line through it meets 3.5 panels");
}
