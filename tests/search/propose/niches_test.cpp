#include "search/propose/niches.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

using namespace sixtyfold;

namespace {

Goals make_goals() {
  Goals goals;
  goals.pareto = {&find_criterion("angle_error"), &find_criterion("waste")};
  return goals;
}

/// A find of the first branch; the smaller the value, the better.
Find make_find(const Branch& branch, double off_axis, double around, double value,
               int structure = 10) {
  UnitPoint point(branch.parameters.size(), 0.4);
  point[0] = off_axis;
  point[1] = around;
  return {0, point, {0, 1, {value, value}, {0.5}, structure}};
}

/// How often the species of the first of two niches is chosen.
int count_choices(Niches& niches, int most) {
  int count = 0;
  for (int i = 0; i < most; ++i) {
    const Niches::Choice choice = niches.choose(niches.measure_promises(), 0);
    if (!choice.species) break;
    count += choice.niche == &niches.all()[0];
  }
  return count;
}

}  // namespace

TEST_CASE("what lies alike is one species, however its parameters differ", "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial")};
  const Goals goals = make_goals();
  Niches niches(branches, goals);
  // In the corner of the region of normals `around` changes nothing.
  std::vector<Find> finds;
  for (int i = 0; i < 12; ++i)
    finds.push_back(make_find(branches[0], 0, 0.08 * i, 0.3 - 0.001 * i));
  niches.take(finds);
  REQUIRE(niches.all().size() == 1);
  CHECK(niches.all()[0].species.size() == 1);
  niches.take({make_find(branches[0], 0.9, 0.4, 0.3)});
  CHECK(niches.all()[0].species.size() == 2);
  // Another structure is another niche.
  niches.take({make_find(branches[0], 0, 0.4, 0.3, 20)});
  REQUIRE(niches.all().size() == 2);
  // The best is first, and is what its species is known by.
  CHECK(niches.all()[0].species[0].leaders[0].find.outcome.objectives[0] == 0.3 - 0.011);
}

TEST_CASE("a species that does not get better rests until it does", "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial")};
  const Goals goals = make_goals();
  Niches niches(branches, goals);
  niches.take({make_find(branches[0], 0.1, 0.4, 0.1)});
  niches.take({make_find(branches[0], 0.9, 0.4, 0.6, 20)});
  CHECK_FALSE(niches.all()[0].species[0].rests());
  const int count = count_choices(niches, 100000);
  CHECK(niches.all()[0].species[0].rests());
  CHECK(niches.all()[1].species[0].rests());
  CHECK(count == 1001);
  CHECK_FALSE(niches.choose(niches.measure_promises(), 0).species);
  niches.take({make_find(branches[0], 0.1, 0.41, 0.1 * 0.9999)});  // hardly better
  CHECK(niches.all()[0].species[0].rests());
  niches.take({make_find(branches[0], 0.1, 0.41, 0.05)});
  CHECK_FALSE(niches.all()[0].species[0].rests());
  CHECK(niches.choose(niches.measure_promises(), 0).niche == &niches.all()[0]);
}

TEST_CASE("a poor species that rises is asked rather than a good one that stands still",
          "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial")};
  const Goals goals = make_goals();
  Niches niches(branches, goals);
  niches.take({make_find(branches[0], 0.1, 0.4, 0.1)});
  const double good = niches.all()[0].species[0].leaders[0].worth;
  // A newcomer is thought to come to more than it is: first_rise is 1.1.
  CHECK(niches.all()[0].species[0].promise == Approx(good * std::exp(1.1)));
  count_choices(niches, 900);
  CHECK(niches.all()[0].species[0].promise < 1.1 * good);  // it was asked and did not get better
  niches.take({make_find(branches[0], 0.9, 0.4, 0.8, 20)});
  const auto& poor = niches.all()[1].species;
  const double first = poor[0].leaders[0].worth;
  REQUIRE(first < 0.25 * good);
  niches.take({make_find(branches[0], 0.9, 0.4, 0.55, 20)});
  const double gain = poor[0].leaders[0].worth / first;
  CHECK(poor[0].promise ==
        Approx(poor[0].leaders[0].worth * std::exp(std::min(2.5, 1.1 + 1.5 * std::log(gain)))));
  CHECK(poor[0].promise > niches.all()[0].species[0].promise);
  CHECK(count_choices(niches, 100) < 20);
  // Its rise fades, too.
  const double before = poor[0].promise;
  const double rise = std::log(before / poor[0].leaders[0].worth);
  const auto asked = poor[0].asked;
  count_choices(niches, 200);
  CHECK(std::log(poor[0].promise / poor[0].leaders[0].worth) ==
        Approx(rise * std::exp(-static_cast<double>(poor[0].asked - asked) / 300)));
  // And it is stored and restored.
  State state;
  niches.exchange(state);
  State stored(state.bytes());
  Niches restored(branches, goals);
  restored.exchange(stored);
  CHECK(restored.all()[1].species[0].promise == poor[0].promise);
}

TEST_CASE("a place that serves several structures has its time once", "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial")};
  const Goals goals = make_goals();
  for (const bool is_one_place : {true, false}) {
    CAPTURE(is_one_place);
    Niches niches(branches, goals);
    niches.take({make_find(branches[0], 0.1, 0.4, 0.1), make_find(branches[0], 0.9, 0.4, 0.1, 30),
                 make_find(branches[0], is_one_place ? 0.1 : 0.5, 0.4, 0.1, 20)});
    REQUIRE(niches.all().size() == 3);
    int elsewhere = 0;
    for (int i = 0; i < 900; ++i)
      elsewhere += niches.choose(niches.measure_promises(), 0).niche == &niches.all()[1];
    CHECK(elsewhere > (is_one_place ? 430 : 280));
    CHECK(elsewhere < (is_one_place ? 470 : 320));
  }
}

TEST_CASE("a resting species is woken by what is better, though others are asked",
          "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("I", "generic", "radial")};
  const Goals goals = make_goals();
  Niches niches(branches, goals);
  const Find first = make_find(branches[0], 0.5, 0.5, 0.9);
  niches.take({first});
  count_choices(niches, 2000);
  REQUIRE(niches.all()[0].species[0].rests());
  // More places than may be asked, all better.
  std::vector<Find> others;
  for (int i = 0; i < 400; ++i) {
    others.push_back(first);
    for (int k = 0; k < 4; ++k) others.back().point[k] = std::fmod(0.7548 * (i + 1) * (k + 1), 1);
    others.back().outcome.objectives = {0.5, 0.5};
    const Vec3 normal = find_placing(branches[0], others.back().point).normal;
    if ((normal - find_placing(branches[0], first.point).normal).norm() < 0.25) others.pop_back();
  }
  niches.take(others);
  const auto count = [&](bool resting) {
    return std::count_if(
        niches.all()[0].species.begin(), niches.all()[0].species.end(),
        [&](const Niches::Species& species) { return species.rests() == resting; });
  };
  REQUIRE(count(false) == 20);
  CHECK(count(true) == 1);
  // A newcomer that is no better joins what rests, and takes no place of those that are asked.
  Find same = first;
  same.point.back() = 0.9;
  niches.take({same});
  CHECK(count(false) == 20);
  CHECK(count(true) == 1);
  same.outcome.objectives = {0.3, 0.3};
  niches.take({same});
  CHECK(count(false) == 20);
  CHECK(count(true) == 0);
  CHECK(niches.all()[0].species[0].leaders[0].find.point == same.point);
}

TEST_CASE("restored niches go on the same, and those of another search are refused",
          "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial"),
                                        make_branch("O", "generic", "limbs")};
  const std::vector<Branch> one = {branches[0]}, exchanged = {branches[1], branches[0]};
  const Goals goals = make_goals();
  Niches niches(branches, goals), restored(branches, goals);
  Find of_second = make_find(branches[1], 0.5, 0.4, 0.2);
  of_second.branch = 1;
  niches.take({make_find(branches[0], 0.1, 0.4, 0.1), of_second});
  count_choices(niches, 700);
  niches.take({make_find(branches[0], 0.1, 0.4, 0.08)});
  REQUIRE(niches.all()[0].species[0].improved_at > 0);
  count_choices(niches, 300);
  State written;
  niches.exchange(written);
  State read(written.bytes());
  restored.exchange(read);
  CHECK(read.at_end());
  for (Niches* both : {&niches, &restored}) {
    count_choices(*both, 500);
    both->take({make_find(branches[0], 0.1, 0.41, 0.0799), make_find(branches[0], 0.9, 0.1, 0.3)});
    count_choices(*both, 500);
  }
  State after, after_restored;
  niches.exchange(after);
  restored.exchange(after_restored);
  CHECK(after.bytes() == after_restored.bytes());
  for (const std::vector<Branch>* wrong : {&one, &exchanged}) {
    Niches of_another(*wrong, goals);
    State again(written.bytes());
    CHECK_THROWS_AS(of_another.exchange(again), std::invalid_argument);
  }
  Niches damaged(branches, goals);
  Find outside = make_find(branches[0], 0.1, 0.4, 0.1);
  outside.point[2] = 1.5;
  damaged.take({outside});
  State of_damaged;
  damaged.exchange(of_damaged);
  State again(of_damaged.bytes());
  CHECK_THROWS_AS(restored.exchange(again), std::invalid_argument);
}
