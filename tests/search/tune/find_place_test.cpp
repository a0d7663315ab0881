#include "search/tune/find_place.h"

#include <catch2/catch.hpp>

#include "engine/random.h"
#include "results/files/design_json.h"
#include "results/files/outline_svg.h"
#include "results/reports/place_report.h"
#include "search/tune/fit_panel.h"
#include "tests/support/own_parts.h"
#include "tests/support/polygon_oracle.h"

using namespace sixtyfold;

namespace {

OwnPart read_part(const std::string& svg) {
  const TracedPart traced = read_outline_svg(svg);
  return {traced.outline_mm, traced.holes_mm};
}

std::optional<FoundPlace> search(const OwnPart& part, const PlaceWish& wish, int threads,
                                 const Limits& limits = {}, std::uint64_t budget = 10800) {
  Evaluator evaluator(threads);
  PlaceOptions options;
  options.budget = budget;
  return find_place(part, wish, limits, options, evaluator,
                    [](const PlaceProgress&) { return true; });
}

}  // namespace

TEST_CASE("a place is found for own drawings, nearly nothing cut off", "[tune][place]") {
  int well_kept = 0;
  for (const auto& [name, svg] : support::find_own_parts()) {
    CAPTURE(name);
    const OwnPart part = read_part(svg);
    const std::optional<FoundPlace> found = search(part, {}, 2);
    REQUIRE(found);
    // The check, from the file's coordinates alone.
    const Design design = read_design_json(write_design_json(found->part.design), name);
    const Inspection inspection = inspect(design);
    CAPTURE(inspection.faults);
    CHECK(inspection.buildable());
    // How much is kept is told of the drawing; the area by Boost.Geometry.
    const Polygon& outline = design.orbits[0].panel.outline_mm;
    const double scale = found->placing.scale;
    const double drawn = scale * scale * measure_area(part.outline_mm);
    CHECK(oracle::overlap_area(found->part.drawn_mm, outline) / drawn ==
          Approx(found->part.kept).margin(1e-4));
    well_kept += found->part.kept >= 0.9;
    // As large as it was drawn.
    CHECK(scale == Approx(1));
    CHECK(found->progress.tried <= 10800);
    CHECK(found->progress.tried > 9000);
  }
  CHECK(well_kept >= 3);
}

TEST_CASE("a place is the same at any number of threads, and when its numbers are given",
          "[tune][place]") {
  const OwnPart part = read_part(support::find_own_parts()[2].second);
  PlaceWish wish;
  wish.symmetry = "O";
  const std::optional<FoundPlace> one = search(part, wish, 1), three = search(part, wish, 3);
  REQUIRE((one && three));
  const std::string bytes = write_design_json(one->part.design);
  CHECK(bytes == write_design_json(three->part.design));
  PlaceWish given;
  given.symmetry = one->placing.symmetry;
  given.normal = one->placing.normal;
  given.distance_mm = one->placing.distance_mm;
  given.scale = one->placing.scale;
  given.turn_deg = one->placing.turn_deg;
  given.shift_mm = one->placing.shift_mm;
  const std::optional<FoundPlace> again = search(part, given, 2);
  REQUIRE(again);
  CHECK(again->progress.tried == 1);
  CHECK(write_design_json(again->part.design) == bytes);
}

TEST_CASE("what is given of a place stays, and what fails says so", "[tune][place]") {
  const OwnPart part = read_part(support::find_own_parts()[2].second);
  Limits limits;
  limits.sheet_width_mm = 700;
  limits.sheet_height_mm = 1000;
  // This normal makes planes that meet at 3.4 and 13.3 degrees; elsewhere in its plane the part
  // stays clear of those copies.
  PlaceWish wish;
  wish.normal = Vec3(0.2, 0.5, 1);
  wish.distance_mm = 400;
  const std::optional<FoundPlace> found = search(part, wish, 2, limits, 16000);
  REQUIRE(found);
  CHECK(found->placing.distance_mm == 400);
  CHECK(found->placing.normal == Vec3(0.2, 0.5, 1));
  CHECK(found->inspection.buildable());
  CHECK(found->part.kept > 0.9);
  wish.scale = 1;
  wish.turn_deg = 0;
  const std::optional<FoundPlace> fixed = search(part, wish, 2, limits);
  REQUIRE(fixed);
  CHECK(!fixed->inspection.buildable());
  REQUIRE(fixed->advice.size() == 1);
  CHECK(fixed->advice[0].find("3.4 degrees") != std::string::npos);
  // No joint holds a single copy: there is a design, and it has faults.
  PlaceWish alone;
  alone.symmetry = "C1";
  const std::optional<FoundPlace> lone = search(part, alone, 2);
  REQUIRE(lone);
  CHECK(!lone->inspection.buildable());
}

TEST_CASE("nonsense about a place is refused", "[tune][place]") {
  const OwnPart part = read_part(support::find_own_parts()[0].second);
  PlaceWish wish;
  wish.symmetry = "Q7";
  CHECK_THROWS_AS(search(part, wish, 1), std::invalid_argument);
  wish.symmetry = "I";
  wish.normal = Vec3(0, 0, 0);
  CHECK_THROWS_AS(search(part, wish, 1), std::invalid_argument);
  wish.normal.reset();
  CHECK_THROWS_AS(search(part, wish, 1, {}, 10), std::invalid_argument);
  // A hole that would be cut into: where, on the drawing, and what to do.
  OwnPart holed = part;
  for (Vec2& p : holed.holes_mm.emplace_back(Polygon{{0, 0}, {1, 0}, {0, 1}}))
    p = Vec2(-230, 50) + 8 * p;
  PartPlacing placing;
  placing.distance_mm = 150;
  CHECK_THROWS_WITH(place_part(holed, placing, Limits{}),
                    Catch::Contains("hole near x = ") && Catch::Contains("lower left corner"));
}

TEST_CASE("a panel measured to a millimetre fits its neighbours again", "[tune][place]") {
  const OwnPart part = read_part(support::find_own_parts()[0].second);
  const std::optional<FoundPlace> found = search(part, {}, 2);
  REQUIRE(found);
  const Score wanted = inspect(found->part.design).design.score;
  RandomStream random(7, Purpose::test, 0);
  Design measured = found->part.design;
  for (Vec2& p : measured.orbits[0].panel.outline_mm)
    p += 0.5 * Vec2(random.normal(), random.normal());
  const Score before = inspect(measured).design.score;
  CHECK((before.collisions > 0 || before.pieces > 1 || before.joints < wanted.joints));
  const std::optional<FittedPanel> fitted = fit_panel(measured, 3);
  REQUIRE(fitted);
  const Score after = inspect(fitted->design).design.score;
  CHECK(after.collisions == 0);
  CHECK(after.pieces == 1);
  CHECK(after.joints == wanted.joints);
  CHECK(fitted->moved_mm < 3);
  CHECK(fitted->cut < 0.01);
}

TEST_CASE("where no place is found the true reason is told", "[tune][place]") {
  const OwnPart part = read_part(support::find_own_parts()[0].second);
  Evaluator evaluator(2);
  std::string why;
  // Ended before it began.
  CHECK_FALSE(find_place(
      part, {}, Limits{}, {}, evaluator, [](const PlaceProgress&) { return false; }, &why));
  CHECK_THAT(why, Catch::Contains("before the first was tried"));
  // A hole that the only place there is cuts into.
  OwnPart holed = part;
  for (Vec2& p : holed.holes_mm.emplace_back(Polygon{{0, 0}, {1, 0}, {0, 1}}))
    p = Vec2(-230, 50) + 8 * p;
  PlaceWish wish;
  wish.normal = PartPlacing{}.normal;
  wish.distance_mm = 150;
  wish.scale = 1;
  wish.turn_deg = 0;
  CHECK_FALSE(find_place(
      holed, wish, Limits{}, {}, evaluator, [](const PlaceProgress&) { return true; }, &why));
  CHECK_THAT(why, Catch::Contains("hole near x = "));
}

TEST_CASE("a hole crossed by an edge between its corners is no hole inside", "[tune][place]") {
  // A square with a notch whose tip ends within the hole, between its corners.
  const Polygon square{{0, 0}, {100, 0}, {100, 100}, {52, 100}, {50, 40}, {48, 100}, {0, 100}};
  const Polygon hole{{20, 30}, {80, 30}, {80, 60}, {20, 60}};
  for (const Vec2& p : hole) CHECK(contains(square, p));
  CHECK_FALSE(are_holes_inside(square, {hole}));
  CHECK(are_holes_inside(square, {Polygon{{20, 10}, {80, 10}, {80, 30}, {20, 30}}}));
}

TEST_CASE("the numbers of a place read back as they are", "[tune][place]") {
  PartPlacing placing;
  placing.normal = Vec3(1.0 / 3, -2e-7, 1);
  placing.distance_mm = 400.12345678;
  placing.turn_deg = 12.3456789;
  placing.shift_mm = Vec2(-0.0, -1.0 / 7);
  const std::string text = write_placing_options(placing);
  double x = 0, y = 0, z = 0, distance = 0, scale = 0, turn = 0, right = 0, up = 0;
  REQUIRE(std::sscanf(text.c_str(),
                      "--symmetry I --normal %lf,%lf,%lf --distance %lf --scale %lf --turn %lf "
                      "--shift %lf,%lf",
                      &x, &y, &z, &distance, &scale, &turn, &right, &up) == 8);
  CHECK(Vec3(x, y, z) == placing.normal);
  CHECK(distance == placing.distance_mm);
  CHECK(scale == placing.scale);
  CHECK(turn == placing.turn_deg);
  CHECK(Vec2(right, up) == placing.shift_mm);
  // As typed where that is short.
  CHECK_THAT(text, Catch::Contains(" --scale 1 ") &&
                       Catch::Contains(",1 --distance 400.12345678") &&
                       Catch::Contains(" --shift 0,"));
}
