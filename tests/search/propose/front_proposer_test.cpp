#include "search/propose/front_proposer.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "tests/support/test_functions.h"

using namespace sixtyfold;
using sixtyfold::testing::zdt;
using sixtyfold::testing::zdt_hypervolume;

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

using Measure = std::function<Outcome(const BranchPoint&)>;

/// Batches of 100 after the starts, without archives; all that was asked for.
struct Course {
  std::vector<Branch> branches;
  Goals goals;
  Measure measure;
  std::vector<GridArchive> empty{branches.size(), GridArchive({1})};
  FrontProposer proposer;

  Course(std::vector<Branch> branches_, Goals goals_, std::uint64_t seed, Measure measure_)
      : branches(std::move(branches_)),
        goals(std::move(goals_)),
        measure(std::move(measure_)),
        proposer(branches, goals, seed) {}

  std::vector<BranchPoint> make_points(int count) {
    BranchArchives archives;
    for (const GridArchive& archive : empty) archives.push_back(&archive);
    std::vector<BranchPoint> points;
    for (const FrontProposer::Asked& asked : proposer.ask(count))
      points.push_back(proposer.make_point(asked, archives));
    return points;
  }
  void tell(const std::vector<BranchPoint>& points) {
    std::vector<Scored> scored;
    for (const BranchPoint& point : points)
      scored.push_back({point.branch, {point.point, measure(point)}, Status::ok});
    proposer.tell(scored);
  }
  /// Random points of a branch.
  void start(int branch, int count) {
    RandomStream random(9, Purpose::test, static_cast<std::uint64_t>(branch));
    std::vector<BranchPoint> points;
    for (int i = 0; i < count; ++i) {
      points.push_back(
          {branch, UnitPoint(branches[static_cast<std::size_t>(branch)].parameters.size())});
      for (double& u : points.back().point) u = random.uniform();
    }
    tell(points);
  }
  std::vector<BranchPoint> run_batches(int batches) {
    std::vector<BranchPoint> all;
    for (int i = 0; i < batches; ++i) {
      const std::vector<BranchPoint> points = make_points(100);
      all.insert(all.end(), points.begin(), points.end());
      tell(points);
    }
    return all;
  }
};

/// Two objectives whose front lies on one branch alone: the coordinates' distance to 0.2 and to
/// 0.8.
Outcome measure_centres(const BranchPoint& child) {
  double low = 0, high = 0;
  for (const double u : child.point) {
    low += (u - 0.2) * (u - 0.2);
    high += (u - 0.8) * (u - 0.8);
  }
  const auto count = static_cast<double>(child.point.size());
  const double handicap = child.branch == 1 ? 0 : 0.05;
  return {0, 1, {low / count + handicap, high / count + handicap}, {0.5}};
}

/// Mean over the nearest tenth of sqrt(f1) + sqrt(f2) - 0.6, which is 0 on the front: the distance
/// of the two centres a coordinate.
double measure_nearest(const std::vector<BranchPoint>& points) {
  std::vector<double> away;
  for (const BranchPoint& point : points) {
    const Outcome outcome = measure_centres(point);
    away.push_back(std::sqrt(outcome.objectives[0]) + std::sqrt(outcome.objectives[1]) - 0.6);
  }
  std::sort(away.begin(), away.end());
  double sum = 0;
  for (std::size_t i = 0; i < away.size() / 10; ++i) sum += away[i];
  return sum / static_cast<double>(away.size() / 10);
}

std::vector<UnitPoint> take_points(const std::vector<BranchPoint>& asked) {
  std::vector<UnitPoint> points;
  for (const BranchPoint& one : asked) points.push_back(one.point);
  return points;
}

}  // namespace

TEST_CASE("a branch nobody has tried is found and its front converged to", "[search][fronts]") {
  Course course(make_branches(), make_goals(), 7, measure_centres);
  course.start(0, 20);
  course.start(2, 20);
  const std::vector<BranchPoint> asked = course.run_batches(60);
  std::vector<BranchPoint> of_best, random;
  for (const BranchPoint& child : asked) {
    REQUIRE(child.point.size() ==
            course.branches[static_cast<std::size_t>(child.branch)].parameters.size());
    for (const double u : child.point) REQUIRE((0 <= u && u <= 1));
    if (child.branch == 1) of_best.push_back(child);
  }
  CHECK(5 * of_best.size() > asked.size());
  RandomStream stream(3, Purpose::test, 0);
  for (std::size_t i = 0; i < asked.size(); ++i) {
    random.push_back({1, UnitPoint(course.branches[1].parameters.size())});
    for (double& u : random.back().point) u = stream.uniform();
  }
  // Of several times as many at random in that branch alone the nearest are twice as far.
  CHECK(measure_nearest(of_best) < measure_nearest(random) / 2);
}

TEST_CASE("fronts come near to those of ZDT1, 2 and 3", "[search][fronts]") {
  for (const int number : {1, 2, 3}) {
    CAPTURE(number);
    const Measure measure = [&](const BranchPoint& at) {
      return Outcome{0, 1, zdt(number, at.point), {0.5}};
    };
    Course course({make_branch("O", "generic", "radial")}, make_goals(), 5, measure);
    course.start(0, 100);
    course.run_batches(250);
    std::vector<Objectives> front;
    for (const Find& find : course.proposer.fronts()[0]->finds())
      front.push_back(find.outcome.objectives);
    const double found = measure_hypervolume(find_within(front, {1.1, 1.1}), {1.1, 1.1});
    // The published functions with the branch's number of variables; the front is the same for any.
    CHECK(found <= zdt_hypervolume(number) + 1e-5);
    CHECK(found > zdt_hypervolume(number) - 0.025);
  }
}

TEST_CASE("a restored front proposer asks for the same points", "[search][fronts]") {
  const auto make = [](std::uint64_t seed) {
    return Course(make_branches(), make_goals(), seed, measure_centres);
  };
  Course a = make(7), b = make(7), other = make(8);
  CHECK_FALSE(a.proposer.can_ask());
  a.start(0, 20), other.start(0, 20);
  CHECK(a.proposer.can_ask());
  a.run_batches(3), other.run_batches(3);
  State written;
  a.proposer.exchange(written);
  State read(written.bytes());
  b.proposer.exchange(read);
  CHECK(read.at_end());
  const std::vector<UnitPoint> expected = take_points(a.make_points(50));
  CHECK(take_points(b.make_points(50)) == expected);
  CHECK(take_points(other.make_points(50)) != expected);
}

TEST_CASE("a front restored from another search is refused", "[search][fronts]") {
  Course a(make_branches(), make_goals(), 7, measure_centres);
  a.start(0, 20);
  State written;
  a.proposer.exchange(written);
  Goals three = make_goals();
  three.pareto.push_back(&find_criterion("joints"));
  FrontProposer other(a.branches, three, 7);
  State read(written.bytes());
  CHECK_THROWS_AS(other.exchange(read), std::invalid_argument);
}

TEST_CASE("a forged checkpoint whose fronts came from nothing is refused", "[search][fronts]") {
  const auto make = [] { return Course(make_branches(), make_goals(), 7, measure_centres); };
  Course a = make(), b = make(), c = make();
  State fresh, fronts;
  b.proposer.exchange(fresh);
  for (const int branch : {0, 1, 2}) a.start(branch, 30);
  for (const Front* front : a.proposer.fronts()) Front(*front).exchange(fronts);
  // A counter, the fronts of three numbers of panels, then all else as it is in the beginning.
  const std::size_t before = 8, replaced = 3 * 8;
  const auto forge = [&](const std::string& of_panels) {
    return State(fresh.bytes().substr(0, before) + of_panels +
                 fresh.bytes().substr(before + replaced));
  };
  State forged = forge(fronts.bytes());
  CHECK_THROWS_WITH(c.proposer.exchange(forged), Catch::Contains("came from nothing"));
  // What belongs to another number of panels.
  State others;
  for (const int i : {1, 0, 2})
    Front(*a.proposer.fronts()[static_cast<std::size_t>(i)]).exchange(others);
  State misplaced = forge(others.bytes());
  CHECK_THROWS_WITH(make().proposer.exchange(misplaced), Catch::Contains("another's front"));
}

TEST_CASE("each number of panels and each branch has a front of its own", "[search][fronts]") {
  Course course(make_branches(), make_goals(), 7, measure_centres);
  for (const int branch : {0, 1, 2}) course.start(branch, 30);
  // T has 12 panels in general position, O 24, D5 10: in rising order.
  const std::vector<const Front*> fronts = course.proposer.fronts();
  REQUIRE(fronts.size() == 3);
  const int branches[] = {2, 0, 1};
  for (std::size_t i = 0; i < 3; ++i) {
    REQUIRE(!fronts[i]->finds().empty());
    for (const Find& find : fronts[i]->finds()) CHECK(find.branch == branches[i]);
  }
  // What is poor beside other numbers of panels still has children.
  int of_poor = 0;
  for (const BranchPoint& child : course.make_points(600)) of_poor += child.branch != 1;
  CHECK(of_poor > 150);
}

TEST_CASE("planes are tried with other outlines and outlines in other planes", "[search][fronts]") {
  Course course({make_branch("O", "generic", "radial"), make_branch("O", "generic", "limbs"),
                 make_branch("O", "square-3", "radial")},
                make_goals(), 7, [](const BranchPoint& at) {
                  return Outcome{0, 1, {at.point.back(), 1 - at.point.back()}, {0.5}};
                });
  const std::size_t all = course.branches[0].parameters.size(), of_plane = 4;
  REQUIRE(course.branches[0].parameters[of_plane].name == "size");
  // Of what two finds agree in, lines and differences leave nothing else.
  UnitPoint a(all, 0.3), b(all, 0.3);
  b.back() = 0.9;
  course.tell({{0, a}, {0, b}});
  int with_limbs = 0, of_limbs = 0, in_square = 0, of_square = 0;
  for (const BranchPoint& child : course.make_points(1000)) {
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

TEST_CASE("fronts climb by the guide where the criteria go in steps", "[search][fronts]") {
  Goals goals;
  goals.pareto = {&find_criterion("diameter"), &find_criterion("sheets")};
  for (const bool has_guide : {true, false}) {
    // One step where the coordinates are within 0.06 of 0.3 on average: no random point ever is.
    const Measure measure = [&](const BranchPoint& child) {
      double far = 0;
      for (const double u : child.point)
        far += std::abs(u - 0.3) / static_cast<double>(child.point.size());
      Outcome outcome{0, 1, {-2000, far < 0.06 ? 3.0 : 4.0}, {0.5}};
      if (has_guide) outcome.guides = {-2000, far < 0.06 ? 3.0 : 3.1 + far};
      return outcome;
    };
    Course course(make_branches(), goals, 11, measure);
    BranchPoint start{0, UnitPoint(course.branches[0].parameters.size(), 0.8)};
    for (int i = 0; i < 3; ++i, start.point[0] -= 0.2) course.tell({start});
    int found = 0;
    for (const BranchPoint& child : course.run_batches(100))
      found += measure(child).objectives[1] < 4;
    CAPTURE(has_guide, found);
    CHECK((found > 0) == has_guide);
  }
}
