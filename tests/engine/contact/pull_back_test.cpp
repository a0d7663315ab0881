#include "engine/contact/pull_back.h"

#include <catch2/catch.hpp>

#include "engine/random.h"
#include "tests/support/outlines.h"

using namespace sixtyfold;

TEST_CASE("an edge is pulled back in parallel", "[contact][pull_back]") {
  // A square of 100 with its right edge on the line x = 50, which is touched from y = -20 to 30.
  Polygon square{{-50, -50}, {50, -50}, {50, 50}, {-50, 50}};
  PullBack wanted;
  wanted.line = {Vec2(1, 0), 50, 1, true};
  wanted.from = -20;
  wanted.to = 30;
  wanted.above = false;
  wanted.by = 7;
  REQUIRE(pull_back(wanted, {0, 0}, square));
  CHECK(measure_area(square) == Approx(93 * 100));
  CHECK(measure_box(square).high.x() == Approx(43));
  const Polygon once = square;
  REQUIRE(pull_back(wanted, {0, 0}, square));  // again: nothing more to do
  CHECK(square == once);
}

TEST_CASE("only the lobe that touches is cut", "[contact][pull_back]") {
  // Two fingers reach the line y = 100; the contact is on the right one.
  Polygon hand{{0, 0}, {90, 0}, {90, 100}, {60, 100}, {60, 40}, {30, 40}, {30, 100}, {0, 100}};
  PullBack wanted;
  wanted.line = {Vec2(0, 1), 100, 1, true};  // positions run along -x
  wanted.from = -85;
  wanted.to = -65;
  wanted.above = false;
  wanted.by = 10;
  REQUIRE(pull_back(wanted, {45, 20}, hand));
  CHECK(measure_area(hand) == Approx(90 * 40 + 30 * 60 + 30 * 50));
  // The hub inside the lobe itself: it can not be given up.
  Polygon again{{0, 0}, {90, 0}, {90, 100}, {60, 100}, {60, 40}, {30, 40}, {30, 100}, {0, 100}};
  CHECK_FALSE(pull_back(wanted, {75, 95}, again));
  CHECK(measure_area(again) == Approx(90 * 40 + 2 * 30 * 60));
}

TEST_CASE("pulling back only removes, and clears the strip", "[contact][pull_back]") {
  RandomStream random(41, Purpose::test, 5);
  int cut = 0;
  for (int trial = 0; trial < 500; ++trial) {
    Polygon outline = make_random_outline(random, 12, 0.4);
    const Polygon before = outline;
    PullBack wanted;
    const double angle = random.uniform(0, 2 * pi);
    wanted.line = {Vec2(std::cos(angle), std::sin(angle)), random.uniform(0.3, 0.8), 1, true};
    wanted.from = random.uniform(-0.6, 0);
    wanted.to = wanted.from + random.uniform(0.1, 0.6);
    wanted.above = false;
    wanted.by = random.uniform(0.02, 0.1);
    if (!pull_back(wanted, {0, 0}, outline)) continue;
    CHECK(is_simple(outline));
    CHECK(contains(outline, {0, 0}));
    CHECK(measure_area(outline) <= measure_area(before) + 1e-12);
    cut += measure_area(outline) < measure_area(before) - 1e-9;
    for (const Vec2& v : outline)
      CHECK((contains(before, v) || distance_to_boundary(before, v) < 1e-9));
    for (int i = 0; i < 20; ++i) {
      const Vec2 p =
          (wanted.line.offset - random.uniform(0, wanted.by * 0.999)) * wanted.line.side +
          random.uniform(wanted.from, wanted.to) * wanted.line.along();
      CHECK_FALSE(contains(outline, p));
    }
  }
  CHECK(cut > 100);
}
