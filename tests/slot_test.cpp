#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/slot.h"
#include "engine/vectors.h"

using namespace sixtyfold;

TEST_CASE("a slot is as wide as the board that goes through it", "[slot]") {
  // Elementary trigonometry: t/sin + t/tan.
  for (double deg = 10; deg <= 90; deg += 5) {
    const double theta = to_radians(deg), t = 4;
    CHECK(slot_width(t, theta) == Approx(t / std::sin(theta) + t / std::tan(theta)));
    // Independent: extent along x of the part of a band of width t at angle theta inside |y| <= t/2.
    double low = 1e300, high = -1e300;
    for (double along = -60; along <= 60; along += 0.001)
      for (const double side : {-t / 2, t / 2}) {
        const Vec2 p = along * Vec2(std::cos(theta), std::sin(theta)) + side * Vec2(-std::sin(theta), std::cos(theta));
        if (std::abs(p.y()) <= t / 2) low = std::min(low, p.x()), high = std::max(high, p.x());
      }
    CHECK(high - low == Approx(slot_width(t, theta)).margin(0.01));
  }
}

TEST_CASE("two panels slide together when their slots open at opposite ends", "[slot]") {
  CHECK(split_slot(10, 50, {true, false, false, true}).slides);
  CHECK(split_slot(10, 50, {false, true, true, false}).slides);
  CHECK_FALSE(split_slot(10, 50, {true, false, true, false}).slides);
  CHECK_FALSE(split_slot(10, 50, {false, false, true, true}).slides);
  CHECK(split_slot(10, 50, {true, true, true, true}).split == 30);
}
