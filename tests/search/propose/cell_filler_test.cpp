#include "search/propose/cell_filler.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "search/propose/transfer_point.h"

using namespace sixtyfold;

namespace {

const std::vector<int> cells = {10, 10};

std::vector<Branch> make_branches() {
  return {make_branch("O", "generic", "radial"), make_branch("O", "generic", "straight"),
          make_branch("O", "centre", "radial"), make_branch("D5", "generic", "radial")};
}

/// Feasible in one sample of five, and never in branch 2; placed by the first two coordinates.
Outcome measure(const BranchPoint& at) {
  const UnitPoint& u = at.point;
  if (at.branch == 2 || std::fabs(u[2] - 0.3) > 0.1) return {1, 0, {}, {}};
  return {0, 0.5, {u[0]}, {u[0], u[1]}};
}

struct Course {
  std::vector<Branch> branches = make_branches();
  std::vector<GridArchive> archives{branches.size(), GridArchive(cells)};
  CellFiller cell_filler;
  std::vector<int> tried = std::vector<int>(branches.size(), 0);

  explicit Course(std::uint64_t seed) : cell_filler(branches, seed) {}
  std::vector<UnitPoint> run_batch() {
    std::vector<const GridArchive*> given;
    for (const GridArchive& archive : archives) given.push_back(&archive);
    std::vector<UnitPoint> points;
    std::vector<bool> are_new;
    for (const BranchPoint& at : cell_filler.ask(40, given)) {
      const auto b = static_cast<std::size_t>(at.branch);
      REQUIRE(at.point.size() == branches[b].parameters.size());
      for (const double u : at.point) REQUIRE((0 <= u && u <= 1));
      ++tried[b];
      points.push_back(at.point);
      are_new.push_back(archives[b].insert({at.point, measure(at)}) == Insertion::new_cell);
    }
    cell_filler.tell(are_new);
    return points;
  }
  std::size_t filled() const {
    std::size_t sum = 0;
    for (const GridArchive& archive : archives) sum += archive.elites().size();
    return sum;
  }
};

}  // namespace

TEST_CASE("the cell_filler fills more cells than sampling and leaves a barren branch",
          "[search][cell_filler]") {
  Course course(3);
  for (int i = 0; i < 25; ++i) course.run_batch();
  // 1000 samples: 750 in three branches, a fifth of them feasible, thrown into 300 cells of equal
  // chance, fill 300 (1 - (1 - 1/100)^50) = 119 on average (textbook occupancy).
  CHECK(course.filled() > 170);
  CHECK(course.tried[2] < 150);
}

TEST_CASE("a restored cell_filler asks for the same points", "[search][cell_filler]") {
  Course first(3), second(3), other(4);
  for (int i = 0; i < 4; ++i) first.run_batch(), other.run_batch();
  State written;
  first.cell_filler.exchange(written);
  State read(written.bytes());
  second.cell_filler.exchange(read);
  CHECK(read.at_end());
  second.archives = first.archives;
  CHECK(first.run_batch() == second.run_batch());
  CHECK(first.run_batch() != other.run_batch());
}

TEST_CASE("what is brought into another branch keeps the values of the same name",
          "[search][cell_filler]") {
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
