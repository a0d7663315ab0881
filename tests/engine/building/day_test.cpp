// A design by the afternoon and the door: closure beside chained rotations, doors beside brute
// force and textbook widths, hours beside their bound.
#include "engine/building/day.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/building/handling.h"
#include "engine/contact/rebuild.h"
#include "engine/part/part_joints.h"
#include "engine/part/scaled_pattern.h"
#include "engine/random.h"
#include "engine/variant/inspection.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

namespace {

/// A ring of n equal plates, side x length, edge to edge about the z axis.
Design make_ring(int n, double side_mm, double length_mm) {
  Design design;
  design.symmetry = "C" + std::to_string(n);
  design.thickness_mm = design.limits.thickness_mm = 2;
  Orbit orbit;
  orbit.panel.frame = make_frame(Vec3::UnitX(), side_mm / (2 * std::tan(pi / n)));
  for (const Vec2& p : {Vec2(-1, -1), Vec2(1, -1), Vec2(1, 1), Vec2(-1, 1)})
    orbit.panel.outline_mm.push_back(orbit.panel.frame.to_plane(
        Vec3(orbit.panel.frame.origin.x(), p.x() * side_mm / 2, p.y() * length_mm / 2)));
  for (int k = 0; k < n; ++k)
    orbit.copies.push_back(Eigen::AngleAxisd(2 * pi * k / n, Vec3::UnitZ()).toRotationMatrix());
  design.orbits = {orbit};
  design.joints = rebuild(design).joints;
  return design;
}

/// Half the gap that the last plate of a chain has to bridge at each of its two lines: plates laid
/// one after another by rotations, each fold off by up to `off_deg`, in the ring's cross-section.
double chain_plates(int n, double side, double off_deg, RandomStream& random) {
  Eigen::Vector2d end(0, 0);
  double heading = 0;
  for (int k = 0; k < n - 1; ++k) {
    if (k > 0) heading += 2 * pi / n + to_radians(random.uniform(-off_deg, off_deg));
    end += side * Eigen::Vector2d(std::cos(heading), std::sin(heading));
  }
  return std::abs(end.norm() - side) / 2;
}

/// The least short side of an opening that passes the points, by brute force: directions over the
/// half sphere, turned in steps about each.
double find_opening_by_force(const std::vector<Vec3>& points, double tall) {
  double best = 1e300;
  for (int i = 0; i < 90; ++i)
    for (int k = 0; k < 180; ++k) {
      const double polar = pi / 2 * (i + 0.5) / 90, azimuth = 2 * pi * k / 180;
      const Vec3 way(std::sin(polar) * std::cos(azimuth), std::sin(polar) * std::sin(azimuth),
                     std::cos(polar));
      const Vec3 u = way.unitOrthogonal(), v = way.cross(u);
      for (int turn = 0; turn < 90; ++turn) {
        const Vec3 across = std::cos(pi * turn / 90) * u + std::sin(pi * turn / 90) * v,
                   up = way.cross(across);
        double low[2] = {1e300, 1e300}, high[2] = {-1e300, -1e300};
        for (const Vec3& p : points)
          for (const int axis : {0, 1}) {
            const double x = (axis == 0 ? across : up).dot(p);
            low[axis] = std::min(low[axis], x), high[axis] = std::max(high[axis], x);
          }
        const double a = high[0] - low[0], b = high[1] - low[1];
        if (std::max(a, b) <= tall) best = std::min(best, std::min(a, b));
      }
    }
  return best;
}

std::vector<int> list_all(const Design& design) {
  std::vector<int> all;
  for (int copy = 0; copy < count_copies(design); ++copy) all.push_back(copy);
  return all;
}

}  // namespace

TEST_CASE("a ring closes as chained rotations say", "[day]") {
  for (const int n : {4, 5, 6}) {
    const double side = 300, length = 500;
    const Design ring = make_ring(n, side, length);
    REQUIRE(ring.joints.size() == static_cast<std::size_t>(n));
    const Finished finished = make_finished(ring, make_flat_options(ring));
    AssemblyOptions singly;
    singly.most_in_module = 1;
    const AssemblyPlan plan = plan_assembly(ring, finished, singly);
    ClosureOptions options;
    options.cut_mm = 0;
    options.trials = 20000;
    const Miss miss = measure_closure(ring, plan, options).last;
    std::vector<double> gaps;
    for (std::uint64_t k = 0; k < 20000; ++k) {
      RandomStream random(5, Purpose::test, k);
      gaps.push_back(chain_plates(n, side, options.fold_deg, random));
    }
    std::sort(gaps.begin(), gaps.end());
    INFO(n);
    CHECK(miss.median_mm == Approx(gaps[10000]).epsilon(0.05));
    CHECK(miss.most_mm == Approx(gaps[19000]).epsilon(0.03));
    if (n == 4)  // the sum of two evenly spread angles: 95 of 100 below 2 - 2 sqrt(0.05) degrees
      CHECK(miss.most_mm == Approx(side / 2 * to_radians(2 - 2 * std::sqrt(0.05))).epsilon(0.03));
    CHECK(measure_day(ring, finished, plan).closure_mm == Approx(miss.most_mm).epsilon(0.15));
  }
}

TEST_CASE("an opening is the least that a body passes", "[day]") {
  // The width of a convex body is the least distance of two parallel planes that hold it. Cube: its
  // side. Dodecahedron of edge a: between opposite faces, 2.2270 a (Coxeter 1973).
  const Design cube = make_cube(150, 4), dodecahedron = make_dodecahedron(150, 4);
  CHECK(measure_passage(cube, list_all(cube), 2000)[0] == Approx(300).epsilon(1e-3));
  CHECK(measure_passage(dodecahedron, list_all(dodecahedron), 2000)[0] ==
        Approx(300).epsilon(3e-3));
  // Two faces of a cube at right angles: folded flat sideways they pass half its diagonal.
  std::vector<int> two{0};
  for (int copy = 1; copy < 6 && two.size() < 2; ++copy)
    if (std::abs(make_copy_frame(cube, copy).normal.dot(make_copy_frame(cube, 0).normal)) < 0.5)
      two.push_back(copy);
  CHECK(measure_passage(cube, two, 2000)[0] == Approx(150 * std::sqrt(2.0)).epsilon(1e-3));
  // One board: on edge, as thin as it is.
  CHECK(measure_passage(cube, {0}, 2000)[0] == Approx(4));
  for (const char* symbol : {"O", "D3"}) {
    const Design design = make_first_random_design(symbol, Limits{}, 40);
    const std::vector<int> module{0, 1, 2};
    std::vector<Vec3> points;
    for (const int copy : module) {
      const Frame frame = make_copy_frame(design, copy);
      for (const Vec2& p : make_convex_hull(design.orbits[0].panel.outline_mm))
        points.push_back(frame.to_space(p));
    }
    // The door too low for it as it would pass best, and high enough.
    const Vec3 high = measure_passage(design, module, 1e6);
    for (const double tall : {1e6, 0.97 * high[1]}) {
      const double own = measure_passage(design, module, tall)[0],
                   force = find_opening_by_force(points, tall);
      INFO(symbol << " " << tall);
      CHECK(own <= force * 1.005);
      CHECK(own >= force * 0.97);  // force goes in steps of one and two degrees
    }
  }
}

TEST_CASE("no day is shorter than its bound, and limits on the day are told", "[day]") {
  for (const char* symbol : {"O", "D5"})
    for (const int people : {1, 2, 5, 20}) {
      Design design = inspect(make_first_random_design(symbol, Limits{}, 70), 1).design;
      design.limits.people = people;
      design.limits.saws = people;
      measure_building(design, 1000, true);
      const Score& score = design.score;
      REQUIRE(score.hours > 0);
      CHECK(score.hours >= find_least_hours(score.panels, score.joints, design.limits));
      CHECK(find_building_faults(design).empty());
      design.limits.max_hours = score.hours * 0.99;
      design.limits.max_module_opening_mm = score.module_opening_mm * 0.99;
      design.limits.max_closure_mm = score.closure_mm + 1;
      const auto faults = find_building_faults(design);
      REQUIRE(faults.size() == 2);
      CHECK_THAT(faults[0], Catch::Contains("the day takes") && Catch::Contains("at most"));
      CHECK_THAT(faults[1], Catch::Contains("door"));
    }
  // 12 joints of 2.5 minutes by two, one of whom holds, and 6 panels of 0.7: 64.2 person-minutes.
  Limits limits;
  limits.people = 2;
  CHECK(find_least_hours(6, 12, limits) == Approx((12 * 5 + 6 * 0.7) / 60 / 2));
  // What is not joined has no day.
  Design apart = make_cube(150, 4);
  apart.joints.clear();
  measure_building(apart, 1000, true);
  CHECK(apart.score.hours == -1);
  CHECK(find_building_faults(apart).empty());
}
