#include "engine/nest/sheet_fit.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "engine/random.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

using Points = Polygon;

Points make_box(double width, double height, double turn = 0) {
  Points points;
  for (const Vec2& p : {Vec2{0, 0}, Vec2{width, 0}, Vec2{width, height}, Vec2{0, height}})
    points.emplace_back(Eigen::Rotation2Dd(turn) * p);
  return points;
}

/// Corners on a turned ellipse in order of angle, so convex.
Points make_random_convex(RandomStream& random) {
  const int corners = 3 + static_cast<int>(random.below(14));
  const double a = random.uniform(50, 300), b = a * random.uniform(0.1, 1);
  std::vector<double> angles;
  for (int i = 0; i < corners; ++i)
    angles.push_back((i + random.uniform(0.05, 0.9)) * 2 * pi / corners);
  Points points;
  const Eigen::Rotation2Dd turn(random.uniform(0, 2 * pi));
  for (const double t : angles) points.emplace_back(turn * Vec2{a * std::cos(t), b * std::sin(t)});
  return points;
}

double width_along(const Points& points, double angle) {
  const Vec2 u{std::cos(angle), std::sin(angle)};
  double low = 1e300, high = -1e300;
  for (const Vec2& p : points) low = std::min(low, u.dot(p)), high = std::max(high, u.dot(p));
  return high - low;
}

Sheet make_plain_sheet(double short_mm, double long_mm) {
  Sheet sheet;
  sheet.short_mm = short_mm, sheet.long_mm = long_mm;
  sheet.edge_margin_mm = 0, sheet.gap_mm = 0;
  return sheet;
}

Points make_moved(const Points& points, double sign, const Vec2& shift) {
  Points moved;
  for (const Vec2& p : points) moved.emplace_back(sign * p + shift);
  return moved;
}

/// Slow and obvious: how far right of the part its half-turned copy must move to clear the gap.
double find_step(const Points& part, double sign, const Vec2& start, double gap) {
  const Points still = make_moved(part, sign, {0, 0});
  double near = 0, far = 2000;
  for (int i = 0; i < 60; ++i) {
    const double middle = (near + far) / 2;
    const double apart = oracle::distance(still, make_moved(part, -sign, start + Vec2{middle, 0}));
    (apart > 0 && apart >= gap ? far : near) = middle;
  }
  return far;
}

}  // namespace

TEST_CASE("a rectangle fits a sheet of its size and not a smaller one", "[stock]") {
  const Points part = make_box(300, 200, 0.7);
  CHECK(measure_sheet_fit(part, make_plain_sheet(200, 300)).fits);
  CHECK_FALSE(measure_sheet_fit(part, make_plain_sheet(199.9, 300)).fits);
  const SheetFit fit = measure_sheet_fit(part, make_plain_sheet(400, 600));
  CHECK(fit.length_mm == Approx(300));
  CHECK(fit.width_mm == Approx(200));
  CHECK(fit.parts_per_sheet == 4);
  Sheet sheet = make_plain_sheet(403, 603);
  sheet.gap_mm = 3;
  CHECK(measure_sheet_fit(part, sheet).parts_per_sheet == 4);
  sheet.edge_margin_mm = 2;
  CHECK(measure_sheet_fit(part, sheet).parts_per_sheet == 2);
}

// Pallet loading: 1200 x 800 and 1200 x 1000 pallets of 400 x 300 boxes take 8 and 10
// (tests/sources.md 4, certified by area).
TEST_CASE("boxes on a pallet", "[stock]") {
  CHECK(measure_sheet_fit(make_box(400, 300), make_plain_sheet(800, 1200)).parts_per_sheet == 8);
  CHECK(measure_sheet_fit(make_box(400, 300), make_plain_sheet(1000, 1200)).parts_per_sheet == 10);
}

// A stick of length L and width b lies in a square of side s at 45 degrees when
// (L + b) / sqrt 2 <= s: elementary.
TEST_CASE("a stick longer than the sheet's side fits askew", "[stock]") {
  const double side = (300 + 10) / std::sqrt(2.0);
  CHECK(measure_sheet_fit(make_box(300, 10), make_plain_sheet(side * 1.0001, side * 1.0001)).fits);
  CHECK_FALSE(
      measure_sheet_fit(make_box(300, 10), make_plain_sheet(side * 0.9999, side * 0.9999)).fits);
}

TEST_CASE("grain keeps the long axis along it", "[stock]") {
  Sheet sheet = make_plain_sheet(250, 500);
  const Points part = make_box(300, 200, 1.1);
  sheet.grain = Grain::along_long_side;
  CHECK(measure_sheet_fit(part, sheet).fits);
  CHECK(measure_sheet_fit(part, sheet).parts_per_sheet == 1);
  sheet.grain = Grain::along_short_side;
  CHECK_FALSE(measure_sheet_fit(part, sheet).fits);
  CHECK(measure_sheet_fit(part, sheet).parts_per_sheet == 0);
}

// Congruent triangles, every second one turned, tile a strip: 2 k triangles of base b need
// (k + 1/2) b of length: elementary.
TEST_CASE("triangles in a row leave only the ends", "[stock]") {
  const Points part{{0, 0}, {200, 0}, {60, 100}};
  Sheet sheet = make_plain_sheet(100, 1100);
  sheet.grain = Grain::along_long_side;
  CHECK(measure_sheet_fit(part, sheet).parts_per_sheet == 10);
}

TEST_CASE("largest scale agrees with a fine scan of directions", "[stock]") {
  RandomStream random(11, Purpose::test, 0);
  for (int round = 0; round < 200; ++round) {
    const Points part = make_random_convex(random);
    const Sheet sheet = make_plain_sheet(random.uniform(200, 600), random.uniform(600, 1500));
    const double allowance = random.uniform(0, 80);
    const LargestScale found = measure_largest_scale(part, allowance, sheet);
    double best = 0;
    for (int i = 0; i < 4000; ++i) {
      const double angle = pi * i / 4000;
      best = std::max(best,
                      std::min((sheet.long_mm - allowance) / width_along(part, angle),
                               (sheet.short_mm - allowance) / width_along(part, angle + pi / 2)));
    }
    CHECK(found.scale >= best * (1 - 1e-12));
    CHECK(found.scale <= best * 1.01);
    const double reached =
        std::min((sheet.long_mm - allowance) / width_along(part, found.direction_rad),
                 (sheet.short_mm - allowance) / width_along(part, found.direction_rad + pi / 2));
    CHECK(reached == Approx(found.scale).epsilon(1e-9));
  }
}

TEST_CASE("the scale is where fitting ends", "[stock]") {
  RandomStream random(12, Purpose::test, 0);
  for (int round = 0; round < 200; ++round) {
    const Points part = make_random_convex(random);
    Sheet sheet = make_plain_sheet(500, 900);
    sheet.edge_margin_mm = 7;
    sheet.grain = static_cast<Grain>(random.below(3));
    const double scale = measure_largest_scale(part, 0, sheet).scale;
    Points below = part, above = part;
    for (Vec2& p : below) p *= scale * (1 - 1e-6);
    for (Vec2& p : above) p *= scale * (1 + 1e-6);
    CHECK(measure_sheet_fit(below, sheet).fits);
    CHECK(measure_sheet_fit(below, sheet).parts_per_sheet >= 1);
    CHECK_FALSE(measure_sheet_fit(above, sheet).fits);
  }
}

TEST_CASE("turning the part in its own plane changes nothing without grain", "[stock]") {
  RandomStream random(13, Purpose::test, 0);
  for (int round = 0; round < 100; ++round) {
    const Points part = make_random_convex(random);
    Points turned;
    const Eigen::Rotation2Dd turn(random.uniform(0, 2 * pi));
    for (const Vec2& p : part) turned.emplace_back(turn * p + Vec2{31, -17});
    const Sheet sheet = make_plain_sheet(1220, 2440);
    const SheetFit a = measure_sheet_fit(part, sheet), b = measure_sheet_fit(turned, sheet);
    CHECK(a.length_mm == Approx(b.length_mm));
    CHECK(a.width_mm == Approx(b.width_mm));
    CHECK(a.parts_per_sheet == b.parts_per_sheet);
  }
}

TEST_CASE("rows never promise more than a slow row by polygon distance holds", "[stock]") {
  RandomStream random(14, Purpose::test, 0);
  int equal = 0, rounds = 25;
  for (int round = 0; round < rounds; ++round) {
    const Points drawn = make_random_convex(random);
    Sheet sheet = make_plain_sheet(600, 1200);
    sheet.gap_mm = random.uniform(0, 8);
    sheet.grain = Grain::along_long_side;
    const SheetFit fit = measure_sheet_fit(drawn, sheet);
    if (!fit.fits) continue;
    // Turn the part's long axis to x and stand it on y = 0.
    Points part;
    const double turn = measure_largest_scale(drawn, 0, sheet).direction_rad;
    for (const Vec2& p : drawn) part.emplace_back(Eigen::Rotation2Dd(-turn) * p);
    int best = 0;
    for (const bool along : {true, false}) {
      if (!along)
        for (Vec2& p : part) p = Vec2{-p.y(), p.x()};
      Vec2 low{1e9, 1e9}, high{-1e9, -1e9};
      for (const Vec2& p : part) low = low.cwiseMin(p), high = high.cwiseMax(p);
      for (Vec2& p : part) p -= low;
      const Vec2 size = high - low;
      const double room_x = along ? 1200 : 600, room_y = along ? 600 : 1200;
      const int rows = static_cast<int>((room_y + sheet.gap_mm) / (size.y() + sheet.gap_mm));
      const double to_turned = find_step(part, 1, size, sheet.gap_mm) + size.x();
      const double to_straight =
          find_step(part, -1, Vec2{-size.x(), -size.y()}, sheet.gap_mm) - size.x();
      for (const bool straight_first : {true, false}) {
        int count = 0;
        double left = 1e9, right = -1e9, at = 0;
        for (bool straight = straight_first;; straight = !straight) {
          const double from = straight ? at : at - size.x(), to = straight ? at + size.x() : at;
          left = std::min(left, from), right = std::max(right, to);
          if (right - left > room_x + 1e-6) break;
          ++count;
          at += straight ? to_turned : to_straight;
        }
        best = std::max(best, rows * count);
      }
    }
    CHECK(fit.parts_per_sheet <= best);
    equal += fit.parts_per_sheet == best;
  }
  CHECK(equal >= rounds / 2);
}

TEST_CASE("sheets and utilisation count the last sheet whole", "[stock]") {
  CHECK(measure_sheets(60, 7) == 9);
  CHECK(measure_sheets(63, 7) == 9);
  CHECK(measure_sheets(60, 0) == 0);
  const Sheet sheet = make_plain_sheet(500, 1000);
  SheetFit fit;
  fit.parts_per_sheet = 7;
  CHECK(measure_utilisation(50000, 60, fit, sheet) == Approx(60 * 0.05 / (9 * 0.5)));
}

TEST_CASE("a sheet that makes no sense is named", "[stock]") {
  Sheet sheet;
  CHECK(sheet.find_fault().empty());
  sheet.edge_margin_mm = 300;
  CHECK(sheet.find_fault().find("edge margin") != std::string::npos);
  sheet = {};
  sheet.short_mm = std::nan("");
  CHECK_FALSE(sheet.find_fault().empty());
  Limits limits;
  limits.sheet_width_mm = 1200, limits.sheet_height_mm = 600;
  CHECK(make_sheet(limits).short_mm == 600);
}
