#include "engine/shape/width.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <polyclipping/clipper.hpp>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

namespace {

constexpr double units = 1e5;  // of Clipper's integers in a millimetre

using ClipperLib::Paths;

Paths offset(const Paths& paths, double by_mm) {
  ClipperLib::ClipperOffset offsetter(2, 0.002 * units);
  offsetter.AddPaths(paths, ClipperLib::jtRound, ClipperLib::etClosedPolygon);
  Paths result;
  offsetter.Execute(result, by_mm * units);
  return result;
}

double area_of(const Paths& paths) {
  double sum = 0;
  for (const auto& path : paths) sum += ClipperLib::Area(path);
  return sum / units / units;
}

// The definition, word by word, with polygon offsets. `deep` is where the panel is widest.
bool is_wide(const Paths& panel, double w, const ClipperLib::IntPoint& deep) {
  Paths places;  // of the disc's centre, the part around the deepest point (panels without holes)
  for (const auto& path : offset(panel, -w / 2))
    if (ClipperLib::PointInPolygon(deep, path) != 0) places.push_back(path);
  if (places.empty()) return false;
  const Paths near = offset(places, w / 2 + w);
  ClipperLib::Clipper clipper;
  clipper.AddPaths(panel, ClipperLib::ptSubject, true);
  clipper.AddPaths(near, ClipperLib::ptClip, true);
  Paths rest;
  clipper.Execute(ClipperLib::ctDifference, rest);
  return std::abs(area_of(rest)) < 1e-3;
}

double measure_min_width_slowly(const Polygon& polygon) {
  Paths panel(1);
  for (const Vec2& v : polygon)
    panel[0].emplace_back(std::llround(v.x() * units), std::llround(v.y() * units));
  double low = 0, high = 1000;
  ClipperLib::IntPoint deep;
  while (high - low > 0.001) {  // the deepest point, by shrinking
    const double middle = (low + high) / 2;
    const Paths rest = offset(panel, -middle);
    if (rest.empty()) {
      high = middle;
    } else {
      low = middle;
      deep = rest[0][0];
    }
  }
  const double most = 2 * low;
  double w = most * 0.01;
  if (!is_wide(panel, w, deep)) return 0;
  // Clipper 6 loses an offset now and then: only a second failure beside the first counts.
  const auto fails = [&](double at) {
    return !is_wide(panel, at, deep) && !is_wide(panel, at * 1.001, deep);
  };
  while (w < most * 0.998 && !fails(w * 1.02)) w *= 1.02;
  if (w >= most * 0.98) return most;
  double bad = w * 1.02;
  while (bad - w > 1e-3 * w) {
    const double middle = (w + bad) / 2;
    (fails(middle) ? bad : w) = middle;
  }
  return w;
}

Polygon make_wedge(double angle_deg, double length) {
  const double half = to_radians(angle_deg) / 2;
  return {{0, 0},
          {length * std::cos(half), -length * std::sin(half)},
          {length, 0},
          {length * std::cos(half), length * std::sin(half)}};
}

}  // namespace

TEST_CASE("width of shapes done by hand", "[shape][width]") {
  const Polygon rectangle{{0, 0}, {200, 0}, {200, 30}, {0, 30}};
  CHECK(measure_min_width(rectangle) == Approx(30));
  const Polygon l{{0, 0}, {100, 0}, {100, 20}, {30, 20}, {30, 150}, {0, 150}};
  CHECK(measure_min_width(l) == Approx(20).epsilon(0.02));
  CHECK(find_thinnest_place(l).point_mm.y() == Approx(10).margin(1));

  // A long strip on a plate counts, a stub shorter than it is wide does not.
  const auto with_stub = [](double length) {
    return Polygon{{0, 0},     {200, 0},   {200, 90}, {200 + length, 90}, {200 + length, 110},
                   {200, 110}, {200, 200}, {0, 200}};
  };
  CHECK(measure_min_width(with_stub(60)) == Approx(20).epsilon(0.01));
  CHECK(measure_min_width(with_stub(15)) == Approx(200).epsilon(0.01));

  Polygon circle;
  for (int i = 0; i < 64; ++i)
    circle.emplace_back(50 * std::cos(2 * pi * i / 64), 50 * std::sin(2 * pi * i / 64));
  CHECK(measure_min_width(circle) == Approx(100 * std::cos(pi / 64)));
}

TEST_CASE("a neck counts with its own width", "[shape][width]") {
  for (const double neck : {4.0, 12.0, 30.0}) {
    const Polygon bow{{-100, -80}, {0, -neck / 2}, {100, -80},
                      {100, 80},   {0, neck / 2},  {-100, 80}};
    const ThinPlace place = find_thinnest_place(bow);
    CHECK(place.width_mm == Approx(neck));
    CHECK(place.point_mm.norm() < 1e-9);
    // Off the axis of symmetry the distance from one corner to the other's side decides.
    const Polygon skew{{-100, -80}, {-9, -neck / 2}, {100, -80},
                       {100, 80},   {7, neck / 2},   {-100, 80}};
    const Vec2 side = (skew[2] - skew[1]).normalized();
    CHECK(measure_min_width(skew) == Approx(cross(side, skew[4] - skew[1])).epsilon(0.005));
  }
}

TEST_CASE("a corner is no tip from 38.95 degrees on", "[shape][width]") {
  for (const double angle : {5.0, 20.0, 35.0, 38.5}) {
    const ThinPlace place = find_thinnest_place(make_wedge(angle, 200));
    CHECK(place.width_mm == 0);
    CHECK(place.point_mm.norm() < 1e-9);
  }
  for (const double angle : {39.5, 45.0, 60.0, 90.0})
    CHECK(measure_min_width(make_wedge(angle, 200)) > 60);

  // Rounded with radius rho the wedge is 2 rho (1/s - 1) / (1/s - 3) wide, s = sin(angle / 2):
  // the tip lies (r - rho)(1/s - 1) from a disc of radius r.
  const double s = std::sin(to_radians(30) / 2), rho = 5;
  Polygon rounded;
  const double half = to_radians(15);
  for (int i = 0; i <= 24; ++i) {
    const double a = pi / 2 + half + (pi - 2 * half) * i / 24;
    rounded.emplace_back(rho / s + rho * std::cos(a), rho * std::sin(a));
  }
  rounded.emplace_back(300 * std::cos(half), -300 * std::sin(half));
  rounded.emplace_back(300 * std::cos(half), 300 * std::sin(half));
  CHECK(measure_min_width(rounded) == Approx(2 * rho * (1 / s - 1) / (1 / s - 3)).epsilon(0.02));
}

TEST_CASE("holes narrow a panel", "[shape][width]") {
  const Polygon plate{{0, 0}, {300, 0}, {300, 200}, {0, 200}};
  const std::vector<Polygon> hole{{{100, 20}, {250, 20}, {250, 170}, {100, 170}}};
  CHECK(measure_min_width(plate, hole) == Approx(20).epsilon(0.01));
  CHECK(measure_min_width(plate) == Approx(200));
}

TEST_CASE("width scales, and moving and turning leave it alone", "[shape][width]") {
  RandomStream random(21, Purpose::test, 3);
  for (const OutlineFamily& family : outline_families())
    for (int trial = 0; trial < 20; ++trial) {
      const std::vector<double> values = test::draw_values(family.parameters, random);
      Polygon polygon = family.draw(values);
      const ThinPlace before = find_thinnest_place(polygon);
      const Eigen::Rotation2Dd turn(random.uniform(0, 2 * pi));
      for (Vec2& v : polygon) v = 170 * (turn * v) + Vec2(30, -400);
      const ThinPlace after = find_thinnest_place(polygon);
      CHECK(after.width_mm == Approx(170 * before.width_mm).epsilon(1e-4));
      const auto back = [&](const Vec2& p) {
        return Vec2(turn.inverse() * (p - Vec2(30, -400)) / 170);
      };
      if (after.width_mm > 1)
        CHECK(distance_to_boundary(polygon, after.point_mm) <= 0.51 * after.width_mm + 1e-6);
      CHECK((contains(polygon, after.point_mm) || after.width_mm < 1e-6));
      (void)back;
    }
}

TEST_CASE("width agrees with an opening by polygon offsets", "[shape][width]") {
  RandomStream random(22, Purpose::test, 3);
  for (const OutlineFamily& family : outline_families()) {
    int off = 0;
    for (int trial = 0; trial < 25; ++trial) {
      const std::vector<double> values = test::draw_values(family.parameters, random);
      Polygon polygon = family.draw(values);
      for (Vec2& v : polygon) v *= 200;
      const double slow = measure_min_width_slowly(polygon), fast = measure_min_width(polygon);
      if (std::abs(slow - fast) > 0.03 * slow + 1) {
        ++off;
        UNSCOPED_INFO(family.name << " " << trial << ": " << fast << " by discs, " << slow
                                  << " by offsets");
      }
    }
    CHECK(off == 0);
  }
}
