#include "search/space/ranking.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "engine/random.h"

using namespace sixtyfold;

namespace {

std::vector<Objectives> make_random(int count, int width, std::uint64_t seed) {
  RandomStream stream(seed, Purpose::test, 0);
  std::vector<Objectives> points(static_cast<std::size_t>(count));
  for (Objectives& point : points)
    for (int k = 0; k < width; ++k) point.push_back(std::floor(10 * stream.uniform()) / 10);
  return points;
}

/// Slow and obvious: peel off what nothing left dominates.
std::vector<int> rank_slowly(const std::vector<Objectives>& points) {
  std::vector<int> ranks(points.size(), -1);
  for (int rank = 0; std::count(ranks.begin(), ranks.end(), -1) > 0; ++rank) {
    std::vector<std::size_t> peeled;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if (ranks[i] >= 0) continue;
      bool is_dominated = false;
      for (std::size_t k = 0; k < points.size(); ++k)
        is_dominated = is_dominated || (ranks[k] < 0 && dominates(points[k], points[i]));
      if (!is_dominated) peeled.push_back(i);
    }
    for (const std::size_t i : peeled) ranks[i] = rank;
  }
  return ranks;
}

/// Slow and obvious: count grid cells of side 0.1 that some point dominates; exact for values on
/// the grid.
double count_cells(const std::vector<Objectives>& points, int width) {
  int cells = 0, total = width == 2 ? 100 : 1000;
  for (int cell = 0; cell < total; ++cell) {
    const double corner[3] = {(cell % 10) / 10.0, (cell / 10 % 10) / 10.0, (cell / 100) / 10.0};
    cells += std::any_of(points.begin(), points.end(), [&](const Objectives& point) {
      for (int k = 0; k < width; ++k)
        if (point[static_cast<std::size_t>(k)] > corner[k] + 1e-9) return false;
      return true;
    });
  }
  return cells * std::pow(0.1, width);
}

}  // namespace

TEST_CASE("non-dominated sorting agrees with peeling fronts off one by one", "[search][ranking]") {
  for (const int width : {1, 2, 3, 4}) {
    const std::vector<Objectives> points = make_random(60, width, 11);
    const std::vector<int> ranks = find_front_ranks(points);
    CHECK(ranks == rank_slowly(points));
    std::set<Objectives> front, expected;
    const std::vector<int> numbers = find_front(points);
    for (const int i : numbers) front.insert(points[static_cast<std::size_t>(i)]);
    for (std::size_t i = 0; i < points.size(); ++i)
      if (ranks[i] == 0) expected.insert(points[i]);
    CHECK(front == expected);
    CHECK(front.size() == numbers.size());
  }
}

TEST_CASE("the most crowded point is removed first and the ends last", "[search][ranking]") {
  const std::vector<int> order = sort_by_crowding({{0, 10}, {5, 5}, {5.1, 4.9}, {8, 2}, {10, 0}});
  // (5,5) spans 10.2 and (5.1,4.9) spans 6 of the neighbours' gaps: the second is more crowded.
  CHECK(order.front() == 2);
  CHECK(std::set<int>(order.begin() + 3, order.end()) == std::set<int>{0, 4});
  CHECK(order.size() == 5);
}

TEST_CASE("hypervolumes known from outside", "[search][ranking]") {
  // The pagmo2 test suite.
  CHECK(measure_hypervolume({{1, 2}, {2, 1}}, {3, 3}) == Approx(3));
  CHECK(measure_hypervolume({{1, 1, 1}, {2, 2, 2}}, {3, 3, 3}) == Approx(8));
  CHECK(measure_hypervolume({{1, 1, 1, 1}, {2, 2, 2, 2}}, {3, 3, 3, 3}) == Approx(16));
  CHECK(measure_hypervolume({{2.3, 4.5}, {3.4, 3.4}, {6, 1.2}}, {7, 7}) == Approx(17.91));
  CHECK(measure_hypervolume({{2.3, 4.5, 3.2}, {3.4, 3.4, 3.4}, {6, 1.2, 3.6}}, {7, 7, 7}) ==
        Approx(66.386));
  CHECK(measure_hypervolume(
            {{2.3, 4.5, 3.2, 1.9, 6.0}, {3.4, 3.4, 3.4, 2.1, 5.8}, {6.0, 1.2, 3.6, 3.0, 6.0}},
            {7, 7, 7, 7, 7}) == Approx(373.21228));
  // By counting squares.
  CHECK(measure_hypervolume({{1, 3}, {2, 2}, {3, 1}}, {4, 4}) == Approx(6));
  // A point on the border of the reference adds nothing; one beyond it is an error.
  CHECK(measure_hypervolume({{1, 2}, {2, 1}, {3, 0}}, {3, 3}) == Approx(3));
  CHECK_THROWS_AS(measure_hypervolume({{1, 4}}, {3, 3}), std::invalid_argument);
  CHECK_THROWS_AS(measure_hypervolume({{1, 1, 1}}, {3, 3}), std::invalid_argument);
  CHECK(measure_hypervolume({}, {3, 3}) == 0);
  CHECK(find_within({{1, 4}, {1, 1}, {NAN, 1}}, {3, 3}) == std::vector<Objectives>{{1, 1}});
}

TEST_CASE("exclusive contributions known from outside", "[search][ranking]") {
  // The pagmo2 test data: each of the three points contributes 3.
  const std::vector<Objectives> points = {{0, 2, 0}, {1, 1, 0}, {2, 0, 0}};
  const double whole = measure_hypervolume(points, {3, 3, 3});
  for (std::size_t i = 0; i < points.size(); ++i) {
    std::vector<Objectives> rest = points;
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(i));
    CHECK(whole - measure_hypervolume(rest, {3, 3, 3}) == Approx(3));
  }
}

TEST_CASE("finely sampled fronts reach the hypervolumes found by calculus", "[search][ranking]") {
  std::vector<Objectives> first, second, sphere;
  for (int i = 0; i <= 2000; ++i) {
    const double f = i / 2000.0;
    first.push_back({f, 1 - std::sqrt(f)});
    second.push_back({f, 1 - f * f});
  }
  CHECK(measure_hypervolume(first, {1, 1}) == Approx(2.0 / 3).margin(1e-3));
  CHECK(measure_hypervolume(second, {1, 1}) == Approx(1.0 / 3).margin(1e-3));
  const double quarter = std::acos(-1.0) / 2;
  for (int i = 0; i <= 40; ++i)
    for (int k = 0; k <= 40; ++k) {
      const double a = quarter * i / 40, b = quarter * k / 40;
      sphere.push_back({std::cos(a) * std::cos(b), std::cos(a) * std::sin(b), std::sin(a)});
    }
  CHECK(measure_hypervolume(sphere, {1, 1, 1}) == Approx(1 - std::acos(-1.0) / 6).margin(0.03));
}

TEST_CASE("hypervolume agrees with counting grid cells", "[search][ranking]") {
  for (const int width : {2, 3})
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
      const std::vector<Objectives> points = make_random(8, width, seed);
      CHECK(measure_hypervolume(points, Objectives(static_cast<std::size_t>(width), 1.0)) ==
            Approx(count_cells(points, width)));
    }
}

TEST_CASE("desirabilities are linear and bounded", "[search][ranking]") {
  CHECK(measure_desirability(5, 0, 10) == Approx(0.5));
  CHECK(measure_desirability(2, 10, 0) == Approx(0.8));
  CHECK(measure_desirability(11, 0, 10) == 1);
  CHECK(measure_desirability(-1, 0, 10) == 0);
  CHECK(measure_desirability(NAN, 0, 10) == 0);
}
