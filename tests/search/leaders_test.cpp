#include "search/leaders.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace sixtyfold;

namespace {

std::vector<Branch> make_branches() {
  return {make_branch("T", "generic", "radial"), make_branch("O", "generic", "straight"),
          make_branch("D5", "generic", "radial")};
}

/// Two objectives whose front lies on one branch alone: the coordinates' distance to 0.2 and to 0.8.
Outcome measure(const Leaders::Child& child) {
  double low = 0, high = 0;
  for (const double u : child.point) {
    low += (u - 0.2) * (u - 0.2);
    high += (u - 0.8) * (u - 0.8);
  }
  const auto count = static_cast<double>(child.point.size());
  const double handicap = child.branch == 1 ? 0 : 0.05;
  return {0, 1, {low / count + handicap, high / count + handicap}, {0.5}};
}

/// Rounds of 100 from random points of all branches but the best one.
void run_rounds(const std::vector<Branch>& branches, Leaders& leaders, int rounds) {
  if (!leaders.can_ask())
    for (int i = 0; i < 40; ++i) {
      const int b = i % 2 == 0 ? 0 : 2;
      Leaders::Child start{b, UnitPoint(branches[static_cast<std::size_t>(b)].parameters.size())};
      for (std::size_t k = 0; k < start.point.size(); ++k)
        start.point[k] = std::fmod(0.754877 * (i + 1) * static_cast<double>(k + 1), 1.0);
      leaders.take({b, start.point, measure(start)});
    }
  leaders.settle();
  for (int round = 0; round < rounds; ++round) {
    for (const Leaders::Child& child : leaders.ask(100))
      leaders.take({child.branch, child.point, measure(child)});
    leaders.settle();
  }
}

}  // namespace

TEST_CASE("leaders find the branch with the front and converge to it", "[search][leaders]") {
  const std::vector<Branch> branches = make_branches();
  Leaders leaders(branches, 2, 7);
  run_rounds(branches, leaders, 60);
  int of_best = 0, all = 0;
  double sum = 0;
  for (const Leaders::Child& child : leaders.ask(400)) {
    REQUIRE(child.point.size() ==
            branches[static_cast<std::size_t>(child.branch)].parameters.size());
    for (const double u : child.point) REQUIRE((0 <= u && u <= 1));
    const Outcome outcome = measure(child);
    ++all;
    of_best += child.branch == 1;
    if (child.branch != 1) continue;
    // On the front sqrt(f1) + sqrt(f2) = 0.6, the distance of the two centres a coordinate.
    sum += std::sqrt(outcome.objectives[0]) + std::sqrt(outcome.objectives[1]) - 0.6;
  }
  CHECK(5 * of_best > 2 * all);  // a third at random
  CHECK(sum / of_best < 0.1);  // random points: 0.24 on average
}

TEST_CASE("restored leaders ask for the same points", "[search][leaders]") {
  const std::vector<Branch> branches = make_branches();
  Leaders a(branches, 2, 7), b(branches, 2, 7), other(branches, 2, 8);
  run_rounds(branches, a, 3);
  run_rounds(branches, other, 3);
  State written;
  a.exchange(written);
  State read(written.bytes());
  b.exchange(read);
  CHECK(read.at_end());
  const auto points = [](Leaders& leaders) {
    std::vector<UnitPoint> asked;
    for (const Leaders::Child& child : leaders.ask(50)) asked.push_back(child.point);
    return asked;
  };
  const std::vector<UnitPoint> expected = points(a);
  CHECK(points(b) == expected);
  CHECK(points(other) != expected);
  Leaders none(branches, 0, 7);
  none.settle();
  CHECK_FALSE(none.can_ask());
}
