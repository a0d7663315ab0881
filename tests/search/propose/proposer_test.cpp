// The one suite that every proposer passes.
#include "search/propose/proposer.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <iterator>

#include "search/keep/archive.h"
#include "search/propose/sobol.h"
#include "tests/support/test_functions.h"

using namespace sixtyfold;
using sixtyfold::testing::global_functions;
using sixtyfold::testing::GlobalFunction;
using sixtyfold::testing::zdt;
using sixtyfold::testing::zdt_hypervolume;

namespace {

Outcome evaluate(const GlobalFunction& function, const UnitPoint& point) {
  const double value = function(point);
  return {0, -value, {value}, {point[0], point[1]}};
}

/// Best value after `evaluations` in batches of 32.
double find_best(Method method, const GlobalFunction& function, int evaluations,
                 std::uint64_t seed) {
  const auto proposer = make_proposer(method, {function.dimension, seed, 0, {16, 16}});
  double best = HUGE_VAL;
  for (int done = 0; done < evaluations; done += 32) {
    std::vector<Outcome> outcomes;
    for (const UnitPoint& point : proposer->ask(32)) {
      outcomes.push_back(evaluate(function, point));
      best = std::min(best, outcomes.back().objectives[0]);
    }
    proposer->tell(outcomes);
  }
  return best;
}

double find_hypervolume(Method method, int number, int evaluations) {
  const auto proposer = make_proposer(method, {30, 1, 0, {100}});
  std::vector<Objectives> seen;
  for (int done = 0; done < evaluations; done += 50) {
    std::vector<Outcome> outcomes;
    for (const UnitPoint& point : proposer->ask(50)) {
      const Objectives f = zdt(number, point);
      outcomes.push_back({0, -f[1], f, {f[0]}});
      seen.push_back(f);
    }
    proposer->tell(outcomes);
  }
  std::vector<Objectives> front;
  for (const int i : find_front(seen)) front.push_back(seen[static_cast<std::size_t>(i)]);
  return measure_hypervolume(find_within(front, {1.1, 1.1}), {1.1, 1.1});
}

}  // namespace

TEST_CASE("proposed points lie in the unit cube and depend on the seed alone",
          "[search][proposer]") {
  for (const Method method : all_methods)
    for (const int dimension : {1, 2, 7, largest_sobol_dimension}) {
      CAPTURE(name_of(method), dimension);
      const auto a = make_proposer(method, {dimension, 4, 0, {8}});
      const auto b = make_proposer(method, {dimension, 4, 0, {8}});
      const auto other = make_proposer(method, {dimension, 5, 0, {8}});
      bool differs = false;
      for (int round = 0; round < 20; ++round) {
        const int count = 1 + 13 * round % 40;
        const std::vector<UnitPoint> points = a->ask(count);
        CHECK(points == b->ask(count));
        differs = other->ask(count) != points || differs;
        std::vector<Outcome> outcomes;
        for (const UnitPoint& point : points) {
          REQUIRE(point.size() == static_cast<std::size_t>(dimension));
          for (const double coordinate : point) REQUIRE((0 <= coordinate && coordinate <= 1));
          // A third of the points infeasible, some of them without any idea how far.
          const double value = std::fabs(point[0] - 0.3);
          Outcome outcome{0, -value, {value}, {point[0]}};
          if (point[0] > 0.66) outcome = {point[0] > 0.9 ? HUGE_VAL : point[0] - 0.66, 0, {}, {}};
          outcomes.push_back(outcome);
        }
        a->tell(outcomes);
        b->tell(outcomes);
        other->tell(outcomes);
      }
      CHECK(differs);
    }
}

TEST_CASE("a restored proposer goes on to the same points", "[search][proposer]") {
  const GlobalFunction& function = global_functions()[0];
  for (const Method method : all_methods) {
    CAPTURE(name_of(method));
    const ProposerOptions options{function.dimension, 9, 0, {16, 16}};
    const auto first = make_proposer(method, options);
    const auto step = [&](Proposer& proposer) {
      const std::vector<UnitPoint> points = proposer.ask(23);
      std::vector<Outcome> outcomes;
      for (const UnitPoint& point : points) outcomes.push_back(evaluate(function, point));
      proposer.tell(outcomes);
      return points;
    };
    for (int i = 0; i < 30; ++i) step(*first);
    State written;
    first->exchange(written);
    const auto second = make_proposer(method, options);
    State read(written.bytes());
    second->exchange(read);
    CHECK(read.at_end());
    for (int i = 0; i < 30; ++i) REQUIRE(step(*first) == step(*second));
  }
}

TEST_CASE("outcomes that are not numbers never spoil a proposer", "[search][proposer]") {
  for (const Method method : all_methods) {
    const auto proposer = make_proposer(method, {3, 1, 0, {8}});
    for (int round = 0; round < 50; ++round) {
      std::vector<Outcome> outcomes;
      int i = 0;
      for (const UnitPoint& point : proposer->ask(16)) {
        for (const double coordinate : point) REQUIRE(std::isfinite(coordinate));
        const double bad = ++i % 3 == 0 ? NAN : HUGE_VAL;
        outcomes.push_back(i % 2 == 0 ? Outcome{0, bad, {bad}, {bad}} : Outcome{bad, 0, {}, {}});
      }
      proposer->tell(outcomes);
    }
  }
}

TEST_CASE("what others found is learned", "[search][proposer]") {
  const GlobalFunction& sphere = global_functions()[0];
  for (const Method method : {Method::evolution, Method::archive}) {
    const auto proposer = make_proposer(method, {sphere.dimension, 1, 0, {16, 16}});
    for (int i = 0; i < 200; ++i) {
      UnitPoint point(10, 5.12 / 11.12);  // the minimum
      point[static_cast<std::size_t>(i % 10)] += 0.02 * (i % 13 - 6);
      proposer->learn({point, evaluate(sphere, point)});
    }
    double sum = 0;
    for (const UnitPoint& asked : proposer->ask(100)) sum += sphere(asked);
    CHECK(sum / 100 < 40);  // samples have 10 * 10.5 on average
  }
}

TEST_CASE("global minima are found by evolution", "[search][proposer]") {
  for (const GlobalFunction& function : global_functions()) {
    CAPTURE(function.name);
    std::vector<double> gaps;
    for (const std::uint64_t seed : {1, 2, 3})
      gaps.push_back(find_best(Method::evolution, function, 20000, seed) - function.minimum);
    std::sort(gaps.begin(), gaps.end());
    CHECK(gaps[0] >= -1e-7);  // nothing lies below the published minimum
    CHECK(gaps[1] < 1e-4);    // median of three
  }
}

TEST_CASE("every proposer improves on its own beginning and on nothing", "[search][proposer]") {
  for (const Method method : all_methods) {
    for (const std::size_t i : {std::size_t{5}, std::size_t{6}, std::size_t{10}}) {
      const GlobalFunction& function = global_functions()[i];
      CAPTURE(name_of(method), function.name);
      CHECK(find_best(method, function, 6400, 1) - function.minimum < 0.05);
    }
    CHECK(find_best(method, global_functions()[0], 6400, 1) <
          0.8 * find_best(method, global_functions()[0], 64, 1));
  }
}

TEST_CASE("evolution reaches the fronts of ZDT1, 2 and 3", "[search][proposer]") {
  for (const int number : {1, 2, 3}) {
    CAPTURE(number);
    const double found = find_hypervolume(Method::evolution, number, 25000);
    CHECK(found <= zdt_hypervolume(number) + 1e-5);
    CHECK(found > zdt_hypervolume(number) - 0.006);
  }
}

TEST_CASE("the archive fills more cells with better elites than sampling does",
          "[search][proposer]") {
  // Measures: the first two coordinates' means over halves of Rastrigin's arguments.
  const GlobalFunction& function = global_functions()[4];
  std::vector<double> scores;
  for (const Method method : {Method::sampling, Method::archive}) {
    const auto proposer = make_proposer(method, {function.dimension, 2, 0, {20, 20}});
    GridArchive archive({20, 20});
    for (int done = 0; done < 20000; done += 50) {
      const std::vector<UnitPoint> points = proposer->ask(50);
      std::vector<Outcome> outcomes;
      for (const UnitPoint& point : points) outcomes.push_back(evaluate(function, point));
      proposer->tell(outcomes);
      for (std::size_t i = 0; i < points.size(); ++i) archive.insert({points[i], outcomes[i]});
    }
    CHECK(archive.coverage() > 0.95);
    scores.push_back(archive.measure_qd_score(-200));
  }
  CHECK(scores[1] > scores[0]);
}

TEST_CASE("options out of range are refused by name", "[search][proposer]") {
  CHECK_THROWS_AS(make_proposer(Method::sampling, {0, 1, 0, {4}}), std::invalid_argument);
  CHECK_THROWS_AS(make_proposer(Method::sampling, {65, 1, 0, {4}}), std::invalid_argument);
  CHECK_THROWS_AS(make_proposer(Method::evolution, {3, 1, 4, {4}}), std::invalid_argument);
  CHECK_THROWS_AS(make_proposer(Method::archive, {3, 1, 0, {0}}), std::invalid_argument);
  CHECK_THROWS_AS(make_proposer(Method::archive, {3, 1, 0, {65536, 65536}}), std::invalid_argument);
}

TEST_CASE("what stays below the hurdle changes no proposer, whatever it is told as",
          "[search][proposer]") {
  for (const Method method : all_methods) {
    CAPTURE(name_of(method));
    const auto a = make_proposer(method, {4, 9, 0, {8}});
    const auto b = make_proposer(method, {4, 9, 0, {8}});
    int below = 0, with_parent = 0;
    for (int round = 0; round < 30; ++round) {
      const std::vector<UnitPoint> points = a->ask(20);
      REQUIRE(points == b->ask(20));
      std::vector<Outcome> as_they_are, as_unknown;
      for (std::size_t i = 0; i < points.size(); ++i) {
        const double value = std::fabs(points[i][0] - 0.3) + std::fabs(points[i][1] - 0.6);
        const Outcome outcome{value > 0.6 ? value : 0, -value, {value}, {points[i][2]}};
        as_they_are.push_back(outcome);
        as_unknown.push_back(outcome);
        const double hurdle = a->find_hurdle(i);
        CHECK(hurdle == b->find_hurdle(i));
        with_parent += std::isfinite(hurdle);
        // The archive's hurdle is its cell, which only whoever scores can tell.
        if (method == Method::archive || !(outcome.quality < hurdle) || !outcome.feasible())
          continue;
        ++below;
        as_unknown.back() = {HUGE_VAL, 0, {}, {}};
      }
      a->tell(as_they_are);
      b->tell(as_unknown);
    }
    CHECK((below > 20) == (method != Method::archive));
    CHECK((with_parent > 20) == (method == Method::evolution));
    CHECK(a->ask(50) == b->ask(50));
  }
}
