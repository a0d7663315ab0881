#include "search/choose/look_map.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/random.h"
#include "tests/support/found_designs.h"

using namespace sixtyfold;

namespace {

/// Mean difference of designs that lie side by side, over that of any two.
double measure_disorder(const std::vector<Look>& looks, const LookMap& map) {
  double near = 0, all = 0;
  int near_count = 0, all_count = 0;
  for (std::size_t i = 0; i < looks.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      const double difference = measure_look_difference(looks[i], looks[j]);
      all += difference;
      ++all_count;
      if (std::abs(map.cells[i][0] - map.cells[j][0]) +
              std::abs(map.cells[i][1] - map.cells[j][1]) !=
          1)
        continue;
      near += difference;
      ++near_count;
    }
  return near / near_count / (all / all_count);
}

}  // namespace

TEST_CASE("on the map every design has a cell of its own, inside the sheet", "[look_map]") {
  RandomStream random(5, Purpose::test, 0);
  for (const int count : {1, 2, 3, 5, 7, 12, 50, 101}) {
    std::vector<Look> looks;
    for (int i = 0; i < count; ++i)
      looks.push_back({random.uniform(), random.uniform(), random.uniform()});
    const LookMap map = make_look_map(looks);
    REQUIRE(map.cells.size() == looks.size());
    CHECK(map.columns * map.rows >= count);
    CHECK(map.columns * (map.rows - 1) < count);
    std::set<std::array<int, 2>> used(map.cells.begin(), map.cells.end());
    CHECK(used.size() == looks.size());
    for (const auto& [column, row] : map.cells) {
      CHECK((0 <= column && column < map.columns));
      CHECK((0 <= row && row < map.rows));
    }
  }
  CHECK(make_look_map({}).cells.empty());
  CHECK(make_look_map({{1, 2}, {1, 2}, {1, 2}, {1, 2}}).cells.size() == 4);  // all alike
}

TEST_CASE("on the map like lies by like", "[look_map]") {
  // Points of a sheet, in another order and turned: neighbours there are neighbours here.
  std::vector<Look> looks;
  RandomStream random(6, Purpose::test, 0);
  for (int i = 0; i < 400; ++i) {
    const double x = random.uniform(), y = random.uniform() / 2;
    looks.push_back({0.8 * x - 0.6 * y, 0.6 * x + 0.8 * y, 0.1 * x * y});
  }
  CHECK(measure_disorder(looks, make_look_map(looks)) < 0.2);
  // Designs of four groups: less order than a sheet has, far more than none.
  std::vector<Look> found;
  for (const Design& design : make_found_designs({"I", "O", "T", "D5"}, 60, 11))
    found.push_back(find_look(design));
  CHECK(measure_disorder(found, make_look_map(found)) < 0.75);
}
