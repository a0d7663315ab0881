#include "engine/shape/arcs.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/outline_family.h"

using namespace sixtyfold;

namespace {

/// Centre of an edge's arc.
Vec2 find_centre(const Vec2& from, const Vec2& to, double bulge) {
  const Vec2 chord = to - from;
  return (from + to) / 2 + (1 - bulge * bulge) / (4 * bulge) * Vec2(-chord.y(), chord.x());
}

}  // namespace

TEST_CASE("points of a circle give arcs of that circle", "[shape][arcs]") {
  RandomStream random(51, Purpose::test, 0);
  for (int trial = 0; trial < 100; ++trial) {
    const Vec2 centre(random.uniform(-900, 900), random.uniform(-900, 900));
    const double radius = random.uniform(50, 900);
    // Unevenly spaced, with a straight cut across.
    Polygon outline;
    for (double angle = 0; angle < 5; angle += random.uniform(0.08, 0.14))
      outline.push_back(centre + radius * Vec2(std::cos(angle), std::sin(angle)));
    const std::vector<double> bulges = find_bulges(outline, most_sagitta_mm);
    CHECK(bulges.back() == 0);
    for (std::size_t i = 0; i + 1 < outline.size(); ++i) {
      REQUIRE(bulges[i] > 0);
      CHECK(find_arc_radius((outline[i + 1] - outline[i]).norm(), bulges[i]) ==
            Approx(radius).epsilon(1e-9));
      CHECK((find_centre(outline[i], outline[i + 1], bulges[i]) - centre).norm() < 1e-8 * radius);
    }
    // DXF's bulge is the tangent of a quarter of the angle: that of the chord, from the law of
    // chords, 2 r sin(angle / 2).
    const double angle = 2 * std::asin((outline[1] - outline[0]).norm() / (2 * radius));
    CHECK(bulges[0] == Approx(std::tan(angle / 4)).epsilon(1e-9));
    for (const Vec2& p : make_flattened(outline, bulges, 0.01)) {
      CHECK((p - centre).norm() == Approx(radius).epsilon(1e-9));
    }
  }
}

TEST_CASE("polygons keep their straight edges", "[shape][arcs]") {
  for (const int corners : {3, 4, 5, 6, 8, 12, 17}) {
    Polygon outline;
    for (int i = 0; i < corners; ++i)
      outline.push_back(400 * Vec2(std::cos(2 * pi * i / corners), std::sin(2 * pi * i / corners)));
    for (const double bulge : find_bulges(outline, most_sagitta_mm)) CHECK(bulge == 0);
  }
  const Polygon notched{{0, 0},       {300, 0},   {300, 40}, {300.5, 80},
                        {299.5, 120}, {300, 300}, {0, 300}};
  for (const double bulge : find_bulges(notched, most_sagitta_mm)) CHECK(std::abs(bulge) < 0.02);
}

TEST_CASE("where a cut ends on a chord its corner is moved onto the curve", "[shape][arcs]") {
  // A disc of 64 chords, cut by a line: the true corners lie on circle and line.
  RandomStream random(52, Purpose::test, 0);
  double before = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const double radius = random.uniform(100, 600), height = random.uniform(-0.6, 0.6) * radius;
    const double phase = random.uniform(0, 1);
    Polygon disc, outline;
    for (int i = 0; i < 64; ++i) {
      const double angle = 2 * pi * (i + phase) / 64;
      disc.push_back(radius * Vec2(std::cos(angle), std::sin(angle)));
    }
    for (std::size_t i = 0; i < 64; ++i) {
      const Vec2 &p = disc[i], &q = disc[(i + 1) % 64];
      if (p.y() >= height) outline.push_back(p);
      if ((p.y() >= height) != (q.y() >= height))
        outline.push_back(p + (height - p.y()) / (q.y() - p.y()) * (q - p));
    }
    const Polygon mended = make_corners_true(outline, most_sagitta_mm);
    REQUIRE(mended.size() == outline.size());
    int corners = 0;
    for (std::size_t i = 0; i < mended.size(); ++i) {
      CHECK(std::abs(mended[i].norm() - radius) < 1e-6);
      before = std::max(before, radius - outline[i].norm());
      if (std::abs(outline[i].y() - height) > 1e-9) {
        CHECK(mended[i] == outline[i]);
      } else {
        CHECK(std::abs(mended[i].y() - height) < 1e-9);
        ++corners;
      }
    }
    CHECK(corners == 2);
    // The drawn shape: arcs of the circle and the cut, to less than a tenth of a millimetre.
    for (const Vec2& p : make_flattened(mended, find_bulges(mended, most_sagitta_mm), 0.01))
      CHECK((p.norm() < radius + 0.1 && p.y() > height - 1e-6));
    for (double angle = 0; angle < 2 * pi; angle += 0.01) {
      const Vec2 p = radius * Vec2(std::cos(angle), std::sin(angle));
      if (p.y() > height + 0.01)
        CHECK(distance_to_boundary(
                  make_flattened(mended, find_bulges(mended, most_sagitta_mm), 0.01), p) < 0.1);
    }
  }
  CHECK(before > 0.5);
  // An ellipse's curvature changes along it: half axes 300 and 180 mm, 64 steps, chords that miss
  // it by up to 0.4 mm.
  const auto at = [](double t) { return Vec2(300 * std::cos(t), 180 * std::sin(t)); };
  const auto miss = [](const Vec2& p) {  // to the first order
    const Vec2 scaled(p.x() / 300, p.y() / 180);
    return std::abs(scaled.squaredNorm() - 1) /
           (2 * Vec2(scaled.x() / 300, scaled.y() / 180).norm());
  };
  double most_before = 0, most_after = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const double angle = random.uniform(0, 2 * pi), height = random.uniform(-80, 80);
    const Vec2 up(std::cos(angle), std::sin(angle));
    Polygon outline;
    for (int i = 0; i < 64; ++i) {
      const Vec2 p = at(2 * pi * i / 64), q = at(2 * pi * (i + 1) / 64);
      const double a = up.dot(p) - height, b = up.dot(q) - height;
      if (a >= 0) outline.push_back(p);
      if ((a >= 0) != (b >= 0)) outline.push_back(p + a / (a - b) * (q - p));
    }
    for (const Vec2& p : outline) most_before = std::max(most_before, miss(p));
    for (const Vec2& p : make_corners_true(outline, most_sagitta_mm))
      most_after = std::max(most_after, miss(p));
  }
  CHECK(most_before > 0.3);
  CHECK(most_after < 0.15);
  // Straight-edged outlines stay, and smooth ones.
  for (const char* family : {"straight", "radial", "blades"}) {
    std::vector<double> values;
    for (const Parameter& p : find_outline_family(family).parameters)
      values.push_back((p.low + p.high) / 2);
    Polygon outline = find_outline_family(family).draw(values);
    for (Vec2& p : outline) p *= 400;
    const Polygon mended = make_corners_true(outline, most_sagitta_mm);
    for (std::size_t i = 0; i < outline.size(); ++i) CHECK((mended[i] - outline[i]).norm() < 0.1);
  }
}

TEST_CASE("arcs through a smooth outline's corners follow the curve to a tenth of a millimetre",
          "[shape][arcs]") {
  // Of an ellipse of half axes 300 and 180 mm, in 64 steps as the families draw; its chords miss
  // it by up to 0.4 mm.
  Polygon outline;
  const auto at = [](double t) { return Vec2(300 * std::cos(t), 180 * std::sin(t)); };
  for (int i = 0; i < 64; ++i) outline.push_back(at(2 * pi * i / 64));
  const auto miss = [&](const Polygon& polygon) {
    double most = 0;
    for (int i = 0; i < 6400; ++i)
      most = std::max(most, distance_to_boundary(polygon, at(2 * pi * i / 6400)));
    return most;
  };
  const Polygon flat = make_flattened(outline, find_bulges(outline, most_sagitta_mm), 0.002);
  CHECK(miss(outline) > 0.2);
  CHECK(miss(flat) < 0.02);
}
