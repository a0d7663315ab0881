#include "search/propose/pareto_leaders.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

std::vector<Branch> make_branches() {
  return {make_branch("T", "generic", "radial"), make_branch("O", "generic", "straight"),
          make_branch("D5", "generic", "radial")};
}

Goals make_goals() {
  Goals goals;
  goals.pareto = {&find_criterion("angle_error"), &find_criterion("waste")};
  return goals;
}

/// Two objectives whose front lies on one branch alone: the coordinates' distance to 0.2 and to
/// 0.8.
Outcome measure(const BranchPoint& child) {
  double low = 0, high = 0;
  for (const double u : child.point) {
    low += (u - 0.2) * (u - 0.2);
    high += (u - 0.8) * (u - 0.8);
  }
  const auto count = static_cast<double>(child.point.size());
  const double handicap = child.branch == 1 ? 0 : 0.05;
  return {0, 1, {low / count + handicap, high / count + handicap}, {0.5}};
}

/// Rounds of 100 from random points of all branches but the best one; all that was asked for.
std::vector<BranchPoint> run_rounds(const std::vector<Branch>& branches, ParetoLeaders& leaders,
                                    int rounds) {
  std::vector<BranchPoint> asked;
  if (!leaders.can_ask())
    for (int i = 0; i < 40; ++i) {
      const int b = i % 2 == 0 ? 0 : 2;
      BranchPoint start{b, UnitPoint(branches[static_cast<std::size_t>(b)].parameters.size())};
      for (std::size_t k = 0; k < start.point.size(); ++k)
        start.point[k] = std::fmod(0.754877 * (i + 1) * static_cast<double>(k + 1), 1.0);
      leaders.take({b, start.point, measure(start)});
    }
  leaders.settle();
  for (int round = 0; round < rounds; ++round) {
    for (BranchPoint& child : leaders.ask(100)) {
      leaders.take({child.branch, child.point, measure(child)});
      asked.push_back(std::move(child));
    }
    leaders.settle();
  }
  return asked;
}

/// Mean over the nearest tenth of sqrt(f1) + sqrt(f2) - 0.6, which is 0 on the front: the distance
/// of the two centres a coordinate.
double measure_nearest(const std::vector<BranchPoint>& points) {
  std::vector<double> away;
  for (const BranchPoint& point : points) {
    const Outcome outcome = measure(point);
    away.push_back(std::sqrt(outcome.objectives[0]) + std::sqrt(outcome.objectives[1]) - 0.6);
  }
  std::sort(away.begin(), away.end());
  double sum = 0;
  for (std::size_t i = 0; i < away.size() / 10; ++i) sum += away[i];
  return sum / static_cast<double>(away.size() / 10);
}

}  // namespace

TEST_CASE("leaders find the branch with the front and converge to it", "[search][leaders]") {
  const std::vector<Branch> branches = make_branches();
  const Goals goals = make_goals();
  ParetoLeaders leaders(branches, goals, 7);
  const std::vector<BranchPoint> asked = run_rounds(branches, leaders, 60);
  std::vector<BranchPoint> of_best, random;
  for (const BranchPoint& child : asked) {
    REQUIRE(child.point.size() ==
            branches[static_cast<std::size_t>(child.branch)].parameters.size());
    for (const double u : child.point) REQUIRE((0 <= u && u <= 1));
    if (child.branch == 1) of_best.push_back(child);
  }
  CHECK(8 * of_best.size() > 3 * asked.size());  // a third at random
  RandomStream stream(3, Purpose::test, 0);
  for (std::size_t i = 0; i < asked.size(); ++i) {
    random.push_back({1, UnitPoint(branches[1].parameters.size())});
    for (double& u : random.back().point) u = stream.uniform();
  }
  // Of twice as many at random in that branch alone the nearest are twice as far.
  CHECK(measure_nearest(of_best) < measure_nearest(random) / 2);
}

TEST_CASE("restored leaders ask for the same points", "[search][leaders]") {
  const std::vector<Branch> branches = make_branches();
  const Goals goals = make_goals(), no_goals;
  ParetoLeaders a(branches, goals, 7), b(branches, goals, 7), other(branches, goals, 8);
  run_rounds(branches, a, 3);
  run_rounds(branches, other, 3);
  State written;
  a.exchange(written);
  State read(written.bytes());
  b.exchange(read);
  CHECK(read.at_end());
  const auto points = [](ParetoLeaders& leaders) {
    std::vector<UnitPoint> asked;
    for (const BranchPoint& child : leaders.ask(50)) asked.push_back(child.point);
    return asked;
  };
  const std::vector<UnitPoint> expected = points(a);
  CHECK(points(b) == expected);
  CHECK(points(other) != expected);
  ParetoLeaders none(branches, no_goals, 7);
  none.settle();
  CHECK_FALSE(none.can_ask());
}

namespace {

/// `count` finds of one joint pattern about a point, all equally good.
void take_around(ParetoLeaders& leaders, const Branch& branch, double middle, double value,
                 int joint_pattern, int count) {
  for (int i = 0; i < count; ++i) {
    UnitPoint point(branch.parameters.size(), middle);
    for (std::size_t k = 0; k < point.size(); ++k)
      point[k] += 0.06 * (std::fmod(0.754877 * (i + 1) * static_cast<double>(k + 1), 1.0) - 0.5);
    leaders.take({0, point, {0, 1, {value, value}, {0.5}, joint_pattern}});
  }
}

/// How many of a thousand children stay about 0.8 in the first branch.
int count_about_the_poor(ParetoLeaders& leaders) {
  leaders.settle();
  int count = 0;
  for (const BranchPoint& child : leaders.ask(1000)) {
    double sum = 0;
    for (const double u : child.point) sum += u;
    count += child.branch == 0 && sum > 0.65 * static_cast<double>(child.point.size());
  }
  return count;
}

}  // namespace

// One trial of a species is 32 children, a quarter of them not about it. The slots have none of the
// poor ones, which are dominated by all of the others.
TEST_CASE("what is poor at first goes on beside what is good", "[search][leaders]") {
  const int joint_pattern =
      GENERATE(20, 10);  // a joint pattern of its own, or another place of the same
  CAPTURE(joint_pattern);
  const std::vector<Branch> branches = make_branches();
  const Goals goals = make_goals();
  ParetoLeaders leaders(branches, goals, 7);
  take_around(leaders, branches[0], 0.2, 0.2, 10, 300);
  take_around(leaders, branches[0], 0.8, 0.5, joint_pattern, 5);
  CHECK(count_about_the_poor(leaders) > 20);
}

TEST_CASE("planes are tried with other outlines and outlines in other planes",
          "[search][leaders]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial"),
                                        make_branch("O", "generic", "limbs"),
                                        make_branch("O", "square-3", "radial")};
  const Goals goals = make_goals();
  ParetoLeaders leaders(branches, goals, 7);
  const std::size_t all = branches[0].parameters.size(), of_plane = 4;
  REQUIRE(branches[0].parameters[of_plane].name == "size");
  // Of what two finds agree in, lines and differences leave nothing else.
  UnitPoint a(all, 0.3), b(all, 0.3);
  b.back() = 0.9;
  for (const UnitPoint& point : {a, b})
    leaders.take({0, point, {0, 1, {point.back(), 1 - point.back()}, {0.5}, 10}});
  leaders.settle();
  int with_limbs = 0, of_limbs = 0, in_square = 0, of_square = 0;
  for (const BranchPoint& child : leaders.ask(1000)) {
    if (child.branch == 1) {
      ++of_limbs;
      with_limbs += std::all_of(child.point.begin(), child.point.begin() + of_plane + 1,
                                [](double u) { return u == 0.3; });
    } else if (child.branch == 2) {
      ++of_square;
      in_square += child.point[0] != 0.3 && std::equal(child.point.begin() + of_plane - 1,
                                                       child.point.end() - 1, a.begin() + of_plane);
    }
  }
  CHECK(of_limbs > 50);
  CHECK(with_limbs == of_limbs);
  CHECK(of_square > 20);
  CHECK(in_square > 20);
}

TEST_CASE("leaders climb by the guide where the criteria go in steps", "[search][leaders]") {
  const std::vector<Branch> branches = make_branches();
  Goals goals;
  goals.pareto = {&find_criterion("diameter"), &find_criterion("sheets")};
  for (const bool has_guide : {true, false}) {
    ParetoLeaders leaders(branches, goals, 11);
    // One step where the coordinates are within 0.06 of 0.3 on average: no random point ever is.
    const auto measure = [&](const BranchPoint& child) {
      double far = 0;
      for (const double u : child.point)
        far += std::abs(u - 0.3) / static_cast<double>(child.point.size());
      Outcome outcome{0, 1, {-2000, far < 0.06 ? 3.0 : 4.0}, {0.5}};
      if (has_guide) outcome.guides = {-2000, far < 0.06 ? 3.0 : 3.1 + far};
      return outcome;
    };
    int found = 0;
    BranchPoint start{0, UnitPoint(branches[0].parameters.size(), 0.8)};
    for (int i = 0; i < 3; ++i, start.point[0] -= 0.2)
      leaders.take({0, start.point, measure(start)});
    leaders.settle();
    for (int round = 0; round < 100; ++round) {
      for (const BranchPoint& child : leaders.ask(100)) {
        const Outcome outcome = measure(child);
        found += outcome.objectives[1] < 4;
        leaders.take({child.branch, child.point, outcome});
      }
      leaders.settle();
    }
    CAPTURE(has_guide, found);
    CHECK((found > 0) == has_guide);
  }
}
