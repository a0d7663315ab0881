#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/slab.h"
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

TEST_CASE("polyhedra and standing plates are free of overlaps, and touch where they are glued", "[slab]") {
  for (const double t : {1.0, 4.0, 8.0}) {
    FlatOptions options;
    options.thickness_mm = t;
    std::vector<Design> designs{make_cube(150, t), make_dodecahedron(300, t)};
    for (const double deg : {90.0, 70.0, 45.0, 25.0}) designs.push_back(make_plate_on_plate(deg, t));
    for (const Design& design : designs) {
      const Finished finished = make_finished(design, options);
      CHECK(measure_slabs(design, finished).overlaps.empty());
      for (const FinishedPart& part : finished.parts) CHECK(part.pattern.joints_without_tab.empty());
      // Half a millimetre more board and what is glued runs into each other.
      Finished thick = finished;
      for (FinishedPart& part : thick.parts)
        for (ConvexPlate& plate : part.plates) plate.half *= 1 + 0.5 / t;
      CHECK(!measure_slabs(design, thick).overlaps.empty());
    }
  }
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
        for (const SlabPair& pair : report.overlaps) list.emplace_back(pair.copies[0], pair.copies[1]);
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
