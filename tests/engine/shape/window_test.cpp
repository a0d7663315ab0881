#include "engine/shape/window.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/boolean.h"
#include "engine/shape/outline_family.h"
#include "tests/support/draws.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

double distance_to_segment(const Vec2& p, const Vec2& from, const Vec2& to) {
  const Vec2 way = to - from;
  const double share = std::clamp((p - from).dot(way) / way.squaredNorm(), 0.0, 1.0);
  return (p - from - share * way).norm();
}

/// Points along a border, no farther apart than 3 mm.
std::vector<Vec2> walk(const Polygon& border) {
  std::vector<Vec2> points;
  for (std::size_t i = 0; i < border.size(); ++i) {
    const Vec2 &p = border[i], &q = border[(i + 1) % border.size()];
    const int steps = 1 + static_cast<int>((q - p).norm() / 3);
    for (int k = 0; k < steps; ++k) points.push_back(p + double(k) / steps * (q - p));
  }
  return points;
}

Polygon draw(const OutlineFamily& family, RandomStream& random, int fold, double size_mm) {
  const std::vector<double> values = test::draw_values(family.parameters, random);
  Polygon outline = family.draw(values, fold);
  for (Vec2& p : outline) p *= size_mm;
  return outline;
}

constexpr double slack_mm = 0.2;

}  // namespace

TEST_CASE("windows of any outline keep the promises of the header", "[shape][window]") {
  RandomStream random(5, Purpose::test, 77);
  int windows_seen = 0, with_islands = 0;
  for (int trial = 0; trial < 600; ++trial) {
    const auto& families = outline_families();
    const OutlineFamily& family = families[random.below(families.size())];
    const Polygon outline = draw(family, random, 1, random.uniform(150, 600));
    WindowOptions options;
    options.frame_mm = random.uniform(20, 60);
    std::vector<KeptStrip> strips;
    for (auto count = random.below(4); count > 0; --count) {
      const double turn = random.uniform(0, 2 * pi);
      const Vec2 middle(random.uniform(-150, 150), random.uniform(-150, 150));
      const Vec2 half = random.uniform(30, 120) * Vec2(std::cos(turn), std::sin(turn));
      strips.push_back({middle - half, middle + half, random.uniform(20, 50)});
    }
    CAPTURE(trial, family.name, options.frame_mm, strips.size());
    const std::vector<Polygon> windows = cut_windows(outline, strips, options);
    std::size_t at = 0;
    CHECK(find_window_fault(outline, windows, at).empty());
    PolygonSet reversed;
    for (const Polygon& window : windows) {
      ++windows_seen;
      CHECK(is_simple(window));
      CHECK(measure_area(window) >= options.least_area_mm2 - 10);
      reversed.push_back(window);
      double to_outline = 1e9, out_of_strip = 1e9, rolls = 1e9;
      const std::vector<Vec2> points = walk(window);
      for (std::size_t i = 0; i < points.size(); ++i) {
        to_outline = std::min(to_outline, distance_to_boundary(outline, points[i]));
        for (const KeptStrip& strip : strips)
          out_of_strip =
              std::min(out_of_strip,
                       distance_to_segment(points[i], strip.from_mm, strip.to_mm) - strip.half_mm);
      }
      // A disc of the corner's radius lies inside and reaches the border, looked for all round.
      for (std::size_t i = 0; i < window.size(); i += 3) {
        double best = -1e9;
        for (int k = 0; k < 360; ++k) {
          const double angle = to_radians(k);
          const Vec2 centre =
              window[i] + options.corner_mm * Vec2(std::cos(angle), std::sin(angle));
          if (contains(window, centre))
            best = std::max(best, distance_to_boundary(window, centre) - options.corner_mm);
        }
        rolls = std::min(rolls, best);
      }
      CHECK(to_outline >= options.frame_mm - slack_mm);
      CHECK(out_of_strip >= -slack_mm);
      CHECK(rolls >= -2 * slack_mm);
      for (const Polygon& other : windows)
        if (&other != &window)
          CHECK(oracle::distance(window, other) >= options.bridge_mm - slack_mm);
    }
    // One piece is left, as much as Boost.Geometry says.
    const PolygonSet left = make_difference({outline}, reversed);
    int pieces = 0;
    for (const Polygon& loop : left) pieces += measure_area(loop) > 0;
    CHECK(pieces == 1);
    CHECK(measure_set_area(left) ==
          Approx(oracle::measure_with_holes(outline, windows).area).epsilon(1e-6));
    with_islands += !windows.empty() && !strips.empty();
  }
  CHECK(windows_seen > 200);
  CHECK(with_islands > 50);
}

TEST_CASE("windows have the symmetry of the outline and its strips", "[shape][window]") {
  RandomStream random(6, Purpose::test, 78);
  int seen = 0;
  for (int trial = 0; trial < 200; ++trial) {
    const auto& families = outline_families();
    const OutlineFamily& family = families[random.below(families.size())];
    const int fold = 2 + static_cast<int>(random.below(4));
    if (fold > family.most_fold) continue;
    const Polygon outline = draw(family, random, fold, random.uniform(250, 600));
    const Vec2 from(random.uniform(0, 200), 0), to = from + Vec2(random.uniform(20, 100), 40);
    std::vector<KeptStrip> strips;
    const Eigen::Rotation2Dd turn(2 * pi / fold);
    KeptStrip strip{from, to, 30};
    for (int k = 0; k < fold; ++k) {
      strips.push_back(strip);
      strip = {turn * strip.from_mm, turn * strip.to_mm, strip.half_mm};
    }
    const std::vector<Polygon> windows = cut_windows(outline, strips, {});
    for (const Polygon& window : windows) {
      ++seen;
      double farthest = 0;
      for (const Vec2& p : window) {
        double nearest = 1e9;
        for (const Polygon& other : windows)
          nearest = std::min(nearest, distance_to_boundary(other, turn * p));
        farthest = std::max(farthest, nearest);
      }
      CAPTURE(trial, family.name, fold);
      CHECK(farthest < 0.06);
    }
  }
  CHECK(seen > 50);
}

TEST_CASE("a strip inside a plate is held by bridges, a small plate has no window",
          "[shape][window]") {
  const auto rectangle = [](double x, double y) {
    return Polygon{{-x, -y}, {x, -y}, {x, y}, {-x, y}};
  };
  WindowOptions options;
  options.frame_mm = 30;
  CHECK(cut_windows(rectangle(50, 50), {}, options).empty());
  // 200 x 140 less frames of 30, its corners rounded by 12: area less (4 - pi) 12^2.
  const std::vector<Polygon> one = cut_windows(rectangle(100, 70), {}, options);
  REQUIRE(one.size() == 1);
  CHECK(measure_area(one[0]) == Approx(140 * 80 - (4 - pi) * 144).epsilon(1e-3));
  const std::vector<KeptStrip> strip{{{-30, 0}, {30, 0}, 20}};
  const std::vector<Polygon> two = cut_windows(rectangle(300, 200), strip, options);
  REQUIRE(two.size() == 2);
  CHECK(measure_area(two[0]) == Approx(measure_area(two[1])).epsilon(1e-3));
  // Frames grow with the board.
  CHECK(find_least_frame(10, 25) == 60);
  CHECK(find_least_frame(3, 40) == 41);
}

TEST_CASE("windows out of place are told", "[shape][window]") {
  const Polygon outline{{0, 0}, {100, 0}, {100, 100}, {0, 100}};
  const Polygon inside{{10, 10}, {20, 10}, {20, 20}}, beside{{30, 10}, {40, 10}, {40, 20}};
  const Polygon around{{5, 5}, {60, 5}, {60, 60}, {5, 60}}, out{{90, 10}, {110, 10}, {95, 20}};
  const Polygon across{{15, 5}, {18, 5}, {18, 60}}, far{{300, 300}, {310, 300}, {310, 310}};
  // All of its corners inside, but not its edges.
  const Polygon notched{{0, 0}, {100, 0}, {100, 100}, {50, 20}, {0, 100}};
  const Polygon over_notch{{5, 60}, {8, 5}, {95, 60}};
  std::size_t at = 0;
  const auto fault = [&](const Polygon& border, const std::vector<Polygon>& windows) {
    return find_window_fault(border, windows, at);
  };
  CHECK(fault(outline, {inside, beside}).empty());
  CHECK(fault(outline, {inside, out}).find("leaves the outline") == 0);
  CHECK(at == 1);
  CHECK(fault(outline, {far}).find("leaves the outline") == 0);
  CHECK(fault(notched, {over_notch}).find("leaves the outline") == 0);
  CHECK(fault(outline, {inside, across}).find("meets hole 0") == 0);
  CHECK(fault(outline, {inside, around}).find("meets hole 0") == 0);
  CHECK(fault(outline, {around, inside}).find("meets hole 0") == 0);
  CHECK(fault(outline, {inside, inside}).find("meets hole 0") == 0);
  CHECK(fault(outline, {outline}).find("leaves the outline") == 0);
}
