#include "search/niches.h"

#include <catch2/catch.hpp>

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
    const Niches::Choice choice = niches.choose(niches.measure_worths(), 0);
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
  CHECK_FALSE(niches.choose(niches.measure_worths(), 0).species);
  niches.take({make_find(branches[0], 0.1, 0.41, 0.1 * 0.9999)});  // hardly better
  CHECK(niches.all()[0].species[0].rests());
  niches.take({make_find(branches[0], 0.1, 0.41, 0.05)});
  CHECK_FALSE(niches.all()[0].species[0].rests());
  CHECK(niches.choose(niches.measure_worths(), 0).niche == &niches.all()[0]);
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
      elsewhere += niches.choose(niches.measure_worths(), 0).niche == &niches.all()[1];
    CHECK(elsewhere > (is_one_place ? 430 : 280));
    CHECK(elsewhere < (is_one_place ? 470 : 320));
  }
}

TEST_CASE("restored niches choose the same, and those of another search are refused",
          "[search][niches]") {
  const std::vector<Branch> branches = {make_branch("O", "generic", "radial"),
                                        make_branch("O", "generic", "limbs")};
  const std::vector<Branch> one = {branches[0]}, other = {branches[1]};
  const Goals goals = make_goals();
  Niches niches(branches, goals), restored(branches, goals);
  Find of_second = make_find(branches[1], 0.5, 0.4, 0.2);
  of_second.branch = 1;
  niches.take({make_find(branches[0], 0.1, 0.4, 0.1), of_second});
  count_choices(niches, 700);
  State written;
  niches.exchange(written);
  State read(written.bytes());
  restored.exchange(read);
  CHECK(read.at_end());
  for (int i = 0; i < 500; ++i) {
    const Niches::Choice a = niches.choose(niches.measure_worths(), 0),
                         b = restored.choose(restored.measure_worths(), 0);
    REQUIRE((a.species == nullptr) == (b.species == nullptr));
    if (a.species)
      REQUIRE(a.species->leaders[0].find.point == b.species->leaders[0].find.point);
  }
  for (const std::vector<Branch>* wrong : {&one, &other}) {
    Niches of_another(*wrong, goals);
    State again(written.bytes());
    CHECK_THROWS_AS(of_another.exchange(again), std::invalid_argument);
  }
}
