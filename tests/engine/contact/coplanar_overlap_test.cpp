#include "engine/contact/coplanar_overlap.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/boolean.h"

using namespace sixtyfold;

namespace {

/// Teeth all round: radii that jump between two values.
Polygon make_saw(RandomStream& random, int corners, const Vec2& middle) {
  Polygon saw;
  const double deep = random.uniform(0.05, 0.6);
  for (int k = 0; k < corners; ++k) {
    const double angle = 2 * pi * (k + 0.3 * random.uniform(0, 1)) / corners;
    const double radius = 300 * (k % 2 ? 1 - deep * random.uniform(0.5, 1) : 1);
    saw.emplace_back(middle + radius * Vec2(std::cos(angle), std::sin(angle)));
  }
  return saw;
}

}  // namespace

TEST_CASE("overlaps of plain outlines are those of elementary geometry", "[coplanar]") {
  const Polygon square{{0, 0}, {100, 0}, {100, 100}, {0, 100}};
  const auto moved = [&](double x, double y) {
    Polygon other = square;
    for (Vec2& p : other) p += Vec2(x, y);
    return other;
  };
  const auto shared = find_overlap({square}, {moved(70, 40)});
  REQUIRE(shared);
  CHECK(shared->area_mm2 == Approx(30 * 60).epsilon(0.01));
  CHECK(distance_to_boundary(square, shared->place_mm) < 61);
  // Side by side they touch; so they do with a hair between or over.
  CHECK_FALSE(find_overlap({square}, {moved(100, 0)}));
  CHECK_FALSE(find_overlap({square}, {moved(100.0001, 0)}));
  CHECK_FALSE(find_overlap({square}, {moved(130, 0)}));
  // In a hole of the other there is room.
  const Polygon frame{{-200, -200}, {300, -200}, {300, 300}, {-200, 300}};
  CHECK(find_overlap({frame}, {square}));
  CHECK_FALSE(find_overlap({frame, moved(0, 0)}, {square}));
}

TEST_CASE("outlines of many corners are measured by lines, within some percent", "[coplanar]") {
  // Clipper's intersection is the other way to measure it.
  RandomStream random(71, Purpose::test, 0);
  int over_each_other = 0;
  for (int i = 0; i < 40; ++i) {
    const Polygon a = make_saw(random, 400, {0, 0}),
                  b = make_saw(random, 400, {random.uniform(0, 700), random.uniform(-200, 200)});
    const double truth = measure_set_area(make_intersection({a}, {b}));
    const auto overlap = find_overlap({a}, {b});
    // Tips that touch by less than the band do not count, and others lose it all round.
    if (truth < 4000) {
      CHECK((!overlap || overlap->area_mm2 <= 1.03 * truth + 0.01));
      continue;
    }
    REQUIRE(overlap);
    ++over_each_other;
    CHECK(overlap->area_mm2 == Approx(truth).epsilon(0.03));
    CHECK((contains(a, overlap->place_mm) || distance_to_boundary(a, overlap->place_mm) < 0.01));
    CHECK((contains(b, overlap->place_mm) || distance_to_boundary(b, overlap->place_mm) < 0.01));
  }
  CHECK(over_each_other > 20);
}
