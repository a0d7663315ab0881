#include "engine/part/slab.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/rebuild.h"
#include "engine/shape/convex_pieces.h"
#include "tests/support/outlines.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

TEST_CASE("convex pieces cover a polygon with a hole once", "[slab]") {
  RandomStream random(5, Purpose::test, 0);
  for (int round = 0; round < 50; ++round) {
    Polygon outline = make_random_outline(random, 5 + static_cast<int>(random.below(40)), 0.4);
    const Polygon hole{{-0.1, -0.1}, {0.1, -0.08}, {0.05, 0.12}};
    for (Vec2& p : outline) p *= 100;
    Polygon scaled = hole;
    for (Vec2& p : scaled) p *= 100;
    const auto pieces = find_convex_pieces({outline, scaled});
    double area = 0;
    for (const Polygon& piece : pieces) {
      area += measure_area(piece);
      CHECK(measure_area(make_convex_hull(piece)) == Approx(measure_area(piece)).epsilon(1e-6));
      CHECK(contains(outline, measure_centroid(piece)));
      CHECK_FALSE(contains(scaled, measure_centroid(piece)));
    }
    CHECK(area == Approx(measure_area(outline) - measure_area(scaled)).epsilon(1e-6));
  }
}

TEST_CASE("the distance of two plates in simple positions", "[slab]") {
  ConvexPlate a;
  a.middle = {{0, 0, 0}, {10, 0, 0}, {10, 10, 0}, {0, 10, 0}};
  a.half = {0, 0, 2};
  ConvexPlate b = a;
  for (Vec3& p : b.middle) p += Vec3(3, 2, 9);
  CHECK(measure_distance(a, b).distance == Approx(5));  // 9 - 2 - 2
  for (Vec3& p : b.middle) p += Vec3(20, 0, -9);
  CHECK(measure_distance(a, b).distance == Approx(13));
  for (Vec3& p : b.middle) p += Vec3(0, 0, 9);
  CHECK(measure_distance(a, b).distance == Approx(std::hypot(13, 5)));
  for (Vec3& p : b.middle) p += Vec3(-20, 0, -6);
  CHECK(measure_distance(a, b).distance == 0);
}

TEST_CASE("polyhedra and standing plates are free of overlaps, and touch where they are glued",
          "[slab]") {
  for (const double t : {1.0, 4.0, 8.0}) {
    FlatOptions options;
    options.thickness_mm = t;
    std::vector<Design> designs{make_cube(150, t), make_dodecahedron(300, t)};
    for (const double deg : {90.0, 70.0, 45.0, 25.0})
      designs.push_back(make_plate_on_plate(deg, t));
    for (const Design& design : designs) {
      const Finished finished = make_finished(design, options);
      CHECK(measure_slabs(design, finished).overlaps.empty());
      for (const FinishedPart& part : finished.parts)
        CHECK(part.pattern.joints_without_tab.empty());
      // Half a millimetre more board and what is glued runs into each other.
      Finished thick = finished;
      for (FinishedPart& part : thick.parts)
        for (ConvexPlate& plate : part.plates) plate.half *= 1 + 0.5 / t;
      CHECK(!measure_slabs(design, thick).overlaps.empty());
    }
  }
}

TEST_CASE("a tab makes room for a third copy at the end where that is", "[slab]") {
  Design design = make_plate_on_plate(90, 4);
  // A third plate hangs over the floor, 5 mm clear of it, across the tab near one end of the joint.
  Orbit hanging;
  hanging.panel.frame.x_axis = Vec3::UnitY();
  hanging.panel.frame.y_axis = Vec3::UnitZ();
  hanging.panel.frame.normal = Vec3::UnitX();
  hanging.copies = {Mat3::Identity()};
  const FlatOptions options;
  const auto find_tab = [&](double x, double y) {
    Design with = design;
    hanging.panel.frame.origin = Vec3(x, 0, 0);
    const double low = std::min(y, std::copysign(150, y)),
                 high = std::max(y, std::copysign(150, y));
    hanging.panel.outline_mm = {{low, 7}, {high, 7}, {high, 100}, {low, 100}};
    with.orbits.push_back(hanging);
    REQUIRE(rebuild(with).joints.size() == 1);
    const Finished finished = make_finished(with, options);
    const SlabReport report = measure_slabs(with, finished);
    CHECK(report.overlaps.empty());
    CHECK(report.too_close.empty());
    return finished.shapes[0][0];
  };
  Finished alone = make_finished(design, options);
  const TabShape& whole = alone.shapes[0][0];
  REQUIRE(whole.depth_mm == 35);
  // Which way along y the tab lies.
  const double side = std::copysign(
      1, (alone.parts[0].pattern.tabs[0].direction.z() * design.orbits[0].panel.frame.normal).y());
  // The tab lies on -80 .. 80 along x; the plate is 4 mm thick and 4 mm are kept free.
  for (const double x : {50.0, -40.0}) {
    const TabShape shape = find_tab(x, 10 * side);
    CHECK(shape.depth_mm == 35);
    const double near_end = std::abs(std::abs(x) - 80) + 6;  // to the far edge of what is kept free
    const bool at_from = (x < 0) == (alone.joints.joints[0][0].from_mm.x() < 0);
    const double near_inset = at_from ? shape.from_inset_mm : shape.to_inset_mm;
    const double far_inset = at_from ? shape.to_inset_mm : shape.from_inset_mm;
    CHECK(near_inset >= near_end);
    CHECK(near_inset < near_end + 160.0 / 32);
    CHECK(far_inset < whole.from_inset_mm + 1);
  }
  // Across the outer half of the tab in its middle: shallower is better than half as long.
  const TabShape shallow = find_tab(0, 27 * side);
  CHECK(shallow.depth_mm < 27);
  CHECK(shallow.depth_mm > 15);
  CHECK(shallow.from_inset_mm < 5);
}

TEST_CASE("one copy's pairs stand for all pairs", "[slab]") {
  Limits limits;
  int compared = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "Ih", "Td"})
    for (std::uint64_t index = 0; index < 40; ++index) {
      const auto design = make_random_design(symbol, limits, index);
      if (!design) continue;
      Finished finished = make_finished(*design, FlatOptions{});
      for (FinishedPart& part : finished.parts)
        for (ConvexPlate& plate : part.plates) plate.half *= 1.4;
      const SlabReport by_symmetry = measure_slabs(*design, finished);
      REQUIRE(by_symmetry.by_symmetry);
      // The same copies in two orbits are no longer seen as one orbit: every pair is looked at.
      Design plain = *design;
      Orbit rest = plain.orbits[0];
      rest.copies.erase(rest.copies.begin());
      plain.orbits[0].copies.resize(1);
      plain.orbits.push_back(rest);
      Finished doubled = finished;
      doubled.parts.push_back(finished.parts[0]);
      const SlabReport all = measure_slabs(plain, doubled);
      REQUIRE_FALSE(all.by_symmetry);
      const auto pairs = [](const SlabReport& report) {
        std::vector<std::pair<int, int>> list;
        for (const SlabPair& pair : report.overlaps)
          list.emplace_back(pair.copies[0], pair.copies[1]);
        std::sort(list.begin(), list.end());
        return list;
      };
      CHECK(pairs(by_symmetry) == pairs(all));
      if (by_symmetry.overlaps.empty())
        CHECK(by_symmetry.min_clearance_mm == Approx(all.min_clearance_mm).margin(1e-6));
      ++compared;
      if (compared % 6 == 0) break;
    }
  CHECK(compared >= 12);
}

TEST_CASE("random designs of many groups are mended until nothing overlaps", "[slab]") {
  Limits limits;
  limits.allow_flexible = true;  // slabs overlap or not, whether or not the whole can move
  int designs = 0, overlapping = 0, tabs = 0, without = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "D3", "C6", "Td"})
    for (std::uint64_t index = 0; index < 60; ++index) {
      const auto design = make_random_design(symbol, limits, index, index % 4 == 3);
      if (!design) continue;
      ++designs;
      const Finished finished = make_finished(*design, FlatOptions{});
      const SlabReport report = measure_slabs(*design, finished);
      overlapping += static_cast<int>(!report.overlaps.empty());
      tabs += static_cast<int>(finished.parts[0].pattern.tabs.size());
      without += static_cast<int>(finished.parts[0].pattern.joints_without_tab.size());
      CHECK(report.min_clearance_mm >= 0);
      CHECK(is_simple(finished.parts[0].pattern.outline_mm));
    }
  CHECK(designs > 80);
  CHECK(overlapping * 50 <= designs);
  CHECK(without * 20 <= tabs);
}
