#include "engine/nest/profile_fit.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/nest/nest.h"
#include "engine/nest/sheet_fit.h"
#include "engine/random.h"

using namespace sixtyfold;

namespace {

std::vector<Segment> make_border(const Polygon& polygon) {
  std::vector<Segment> border;
  for (std::size_t i = 0; i < polygon.size(); ++i)
    border.push_back({polygon[i], polygon[(i + 1) % polygon.size()]});
  return border;
}

Sheet make_plain_sheet(double side, double other) {
  Sheet sheet;
  sheet.short_mm = side, sheet.long_mm = other;
  sheet.gap_mm = sheet.edge_margin_mm = 0;
  return sheet;
}

}  // namespace

// Two right-angled triangles make a rectangle: elementary. Strips 1/32 of the height lose less than
// a tenth of a base here; the area allows no seventh.
TEST_CASE("triangles interlock where their hulls are all there is", "[stock][profile]") {
  const Polygon triangle{{0, 0}, {320, 0}, {0, 320}};
  const Vec2 direction[] = {Vec2::UnitX()};
  CHECK(find_interlocked(make_border(triangle), direction, make_plain_sheet(330, 1000)).parts == 6);
  CHECK(find_interlocked(make_border(triangle), direction, make_plain_sheet(319, 1000)).parts == 0);
}

// A C of outer size 300 x 300 with a bay 100 high and 200 deep: the arm of the next, 100 high, goes
// in.
TEST_CASE("hooks reach into each other's bays, which hulls can not", "[stock][profile]") {
  const Polygon hook{{0, 0},     {300, 0},   {300, 90},  {100, 90},
                     {100, 210}, {300, 210}, {300, 300}, {0, 300}};
  const Vec2 direction[] = {Vec2::UnitX()};
  Sheet sheet = make_plain_sheet(420, 1110);
  const int hulls = measure_sheet_fit(make_convex_hull(hook), sheet).parts_per_sheet;
  const int hooked = find_interlocked(make_border(hook), direction, sheet).parts;
  CHECK(hulls == 3);
  CHECK(hooked == 5);
}

// Boxes 100 x 100: elementary.
TEST_CASE("the room on a sheet grows steadily from one count to the next", "[stock][profile]") {
  const std::vector<Segment> box = make_border({{0, 0}, {100, 0}, {100, 100}, {0, 100}});
  const Vec2 direction[] = {Vec2::UnitX()};
  double last = 0;
  for (double length = 300; length < 400; length += 12.5) {
    const Interlocked found = find_interlocked(box, direction, make_plain_sheet(150, length));
    CHECK(found.parts == 3);
    CHECK(found.room ==
          Approx(std::max(length / 100, 3 * 1.5)));  // another half of a row, or along
    CHECK(found.room >= last);
    last = found.room;
  }
  CHECK(find_interlocked(box, direction, make_plain_sheet(150, 400)).parts == 4);
}

TEST_CASE("a full nest never holds fewer than the fast tier promises", "[stock][profile]") {
  RandomStream random(5, Purpose::test, 3);
  int better = 0, looked = 0;
  for (int round = 0; round < 60; ++round) {
    const double lobes = 2 + random.below(4), wave = random.uniform(0.1, 0.5),
                 tilt = random.uniform(0, 3);
    Polygon part;
    for (int i = 0; i < 50; ++i) {
      const double t = 2 * pi * i / 50;
      const double r = 150 * (1 + wave * std::cos(lobes * t) + 0.2 * std::cos(2 * t + tilt));
      part.emplace_back(random.uniform(0.999, 1) * r * std::cos(t), r * std::sin(t));
    }
    if (!is_simple(part)) continue;
    NestOptions options;
    options.sheet.short_mm = random.uniform(500, 900),
    options.sheet.long_mm = random.uniform(900, 1600);
    options.sheet.grain = round % 2 == 0 ? Grain::none : Grain::along_long_side;
    options.effort = 1;
    const SheetFit fit = measure_sheet_fit(make_convex_hull(part), options.sheet);
    const Vec2 directions[] = {{std::cos(fit.long_axis_rad), std::sin(fit.long_axis_rad)},
                               {std::cos(fit.roomiest_rad), std::sin(fit.roomiest_rad)}};
    const std::size_t count = fit.roomiest_rad == fit.long_axis_rad ? 1 : 2;
    const int promised =
        find_interlocked(make_border(part), {directions, count}, options.sheet).parts;
    INFO("round " << round << ": hull " << fit.parts_per_sheet << ", interlocked " << promised);
    CHECK(make_nest(part, options).parts_per_sheet >= std::max(promised, fit.parts_per_sheet));
    ++looked;
    better += promised > fit.parts_per_sheet;
  }
  CHECK(looked > 50);
  CHECK(better > 5);
}
