#include "search/propose/archive_proposer.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "search/propose/transfer_point.h"
#include "tests/support/qd_score.h"

using namespace sixtyfold;

namespace {

const std::vector<int> cells = {10, 10};

std::vector<Branch> make_branches() {
  return {make_branch("O", "generic", "radial"), make_branch("O", "generic", "straight"),
          make_branch("O", "centre", "radial"), make_branch("D5", "generic", "radial")};
}

/// Feasible in one sample of five, and never in branch 2; placed by the first two coordinates, the
/// better the nearer the fourth comes to 0.8.
Outcome measure(const BranchPoint& at) {
  const UnitPoint& u = at.point;
  if (at.branch == 2 || std::fabs(u[2] - 0.3) > 0.1) return {1, 0, {}, {}};
  return {0, 1 - std::fabs(u[3] - 0.8), {u[0]}, {u[0], u[1]}};
}

struct Course {
  std::vector<Branch> branches = make_branches();
  std::vector<GridArchive> archives{branches.size(), GridArchive(cells)};
  ArchiveProposer proposer;
  std::vector<int> tried = std::vector<int>(branches.size(), 0);

  explicit Course(std::uint64_t seed) : proposer(branches, seed) {}
  std::vector<UnitPoint> run_batch() {
    BranchArchives given;
    for (const GridArchive& archive : archives) given.push_back(&archive);
    std::vector<UnitPoint> points;
    std::vector<double> gains;
    // Nothing is put into the archives before all points of the batch are made.
    const std::vector<ArchiveProposer::Asked> asked = proposer.ask(40);
    for (const ArchiveProposer::Asked& one : asked)
      points.push_back(proposer.make_point(one, given));
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto b = static_cast<std::size_t>(asked[i].branch);
      REQUIRE(points[i].size() == branches[b].parameters.size());
      for (const double u : points[i]) REQUIRE((0 <= u && u <= 1));
      ++tried[b];
      const Trial trial{points[i], measure({asked[i].branch, points[i]})};
      gains.push_back(archives[b].measure_gain(trial));
      archives[b].insert(trial);
    }
    proposer.tell(gains);
    return points;
  }
  double measure_qd_score() const {
    double sum = 0;
    for (const GridArchive& archive : archives) sum += sixtyfold::measure_qd_score(archive);
    return sum;
  }
};

}  // namespace

TEST_CASE("archives grow fuller and better than by sampling, and a barren branch is left",
          "[search][archive_proposer]") {
  Course course(3);
  for (int i = 0; i < 25; ++i) course.run_batch();
  // 1000 samples: 750 in three branches, a fifth of them feasible, thrown into 300 cells of equal
  // chance, fill 300 (1 - (1 - 1/100)^50) = 119 on average (textbook occupancy), each with a
  // quality of less than 0.8 on average (the best of two uniform distances at the very most).
  std::size_t filled = 0;
  for (const GridArchive& archive : course.archives) filled += archive.elites().size();
  CHECK(filled > 160);
  CHECK(course.measure_qd_score() > 160 * 0.8);
  CHECK(course.tried[2] < 150);
}

TEST_CASE("points do not depend on the order in which they are made",
          "[search][archive_proposer]") {
  Course course(5);
  for (int i = 0; i < 10; ++i) course.run_batch();
  BranchArchives given;
  for (const GridArchive& archive : course.archives) given.push_back(&archive);
  const std::vector<ArchiveProposer::Asked> asked = course.proposer.ask(40);
  std::vector<UnitPoint> forth, back;
  for (const auto& one : asked) forth.push_back(course.proposer.make_point(one, given));
  for (auto one = asked.rbegin(); one != asked.rend(); ++one)
    back.insert(back.begin(), course.proposer.make_point(*one, given));
  CHECK(forth == back);
}

TEST_CASE("a restored archive proposer asks for the same points", "[search][archive_proposer]") {
  Course first(3), second(3), other(4);
  for (int i = 0; i < 4; ++i) first.run_batch(), other.run_batch();
  State written;
  first.proposer.exchange(written);
  State read(written.bytes());
  second.proposer.exchange(read);
  CHECK(read.at_end());
  second.archives = first.archives;
  CHECK(first.run_batch() == second.run_batch());
  CHECK(first.run_batch() != other.run_batch());
}

TEST_CASE("what is brought into another branch keeps the values of the same name",
          "[search][archive_proposer]") {
  const std::vector<Branch> branches = make_branches();
  const Branch &from = branches[0], &to = branches[1];
  const UnitPoint point(from.parameters.size(), 0.25), base(to.parameters.size(), 0.75);
  RandomStream random(1, Purpose::test, 0);
  const UnitPoint brought = transfer_point(from, point, to, &base, 0, random);
  int same = 0;
  for (std::size_t k = 0; k < brought.size(); ++k) {
    bool is_named = false;
    for (const SearchParameter& parameter : from.parameters)
      is_named = is_named || parameter.name == to.parameters[k].name;
    same += is_named;
    CHECK(brought[k] == (is_named ? 0.25 : 0.75));
  }
  CHECK(same >= 4);  // where the plane lies, where the hub, how large
}
