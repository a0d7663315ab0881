#include "engine/shape/section.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/arcs.h"
#include "tests/support/balls.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

namespace {

/// How far a point is from the nearest surface of the body.
double measure_miss(const Body& body, const Vec3& p) {
  double least = std::numeric_limits<double>::infinity();
  for (const auto* balls : {&body.solids, &body.hollows})
    for (const Ball& ball : *balls) least = std::min(least, std::abs(test::measure_miss(ball, p)));
  for (const HalfSpace& facet : body.facets)
    least = std::min(least, std::abs(facet.normal.dot(p) - facet.distance));
  return least;
}

double measure_curved_area(const Polygon& outline) {
  return measure_area(make_flattened(outline, find_bulges(outline, 1), 1e-7));
}

}  // namespace

TEST_CASE("a ball's section is a disc, two balls' a lens", "[shape][section][outside]") {
  const Frame frame = make_frame(Vec3(1, 2, 3), 0.6);
  Section section;
  cut_section({{{Vec3::Zero(), 1}}, {}, {}}, frame, Vec2::Zero(), {}, section);
  CHECK(section.holes.empty());
  CHECK(measure_curved_area(section.outline) == Approx(pi * 0.64).epsilon(1e-6));
  // The part of a unit disc outside another whose middle lies 1 aside is pi less the lens of
  // 2 pi / 3 - sqrt(3) / 2 (Weisstein, Circle-Circle Intersection, equation 14 at d = R = r = 1).
  const Frame middle = make_frame(Vec3::UnitZ(), 0);
  cut_section({{{Vec3::Zero(), 1}}, {{Vec3(1, 0, 0), 1}}, {}}, middle, Vec2(-0.5, 0), {}, section);
  CHECK(measure_curved_area(section.outline) ==
        Approx(pi - (2 * pi / 3 - std::sqrt(3.0) / 2)).epsilon(1e-6));
  // With a hollow in the middle there is a window.
  cut_section({{{Vec3::Zero(), 1}}, {{Vec3::Zero(), 0.8}}, {}}, frame, Vec2(0.7, 0), {}, section);
  REQUIRE(section.holes.size() == 1);
  CHECK(measure_curved_area(section.holes[0]) == Approx(pi * 0.28).epsilon(1e-6));
  // A cube's section through the middle, across a threefold axis, is the regular hexagon with sides
  // of 1 / sqrt(2) of its edge (Coxeter 1973, section 1.7).
  Body cube;
  for (int axis = 0; axis < 3; ++axis)
    for (const double sign : {1.0, -1.0}) cube.facets.push_back({sign * Vec3::Unit(axis), 1});
  cut_section(cube, make_frame(Vec3(1, 1, 1), 0), Vec2::Zero(), {}, section);
  REQUIRE(section.outline.size() == 6);
  for (std::size_t i = 0; i < 6; ++i)
    CHECK((section.outline[i] - section.outline[(i + 1) % 6]).norm() ==
          Approx(std::sqrt(2.0)).epsilon(1e-12));
}

TEST_CASE("an ellipsoid's sections are ellipses of the known area", "[shape][section][outside]") {
  // Of the ellipsoid with half axes a, b, c the plane n . p = d cuts an ellipse of the area
  // pi a b c / |A n| (1 - d^2 / |A n|^2), A = diag(a, b, c): the unit ball's section, carried over
  // (elementary; volumes of slices grow as the map's determinant).
  RandomStream random(62, Purpose::test, 0);
  for (int trial = 0; trial < 50; ++trial) {
    const double radius = random.uniform(0.4, 1.5), stretch = random.uniform(0.3, 3);
    const Vec3 axis = test::draw_direction(random), normal = test::draw_direction(random);
    const double along = normal.dot(axis);
    const double reach = radius * std::sqrt(stretch * stretch * along * along + 1 - along * along);
    const double distance = random.uniform(0, 0.95) * reach;
    const Vec3 centre = 0.7 * test::draw_direction(random);
    const Frame frame = make_frame(normal, normal.dot(centre) + distance);
    // The middle of the section: where the plane touches a smaller image of the ellipsoid.
    const Vec3 middle = centre + distance / (reach * reach) * radius * radius *
                                     (normal + (stretch * stretch - 1) * along * axis);
    Section section;
    cut_section({{{centre, radius, stretch, axis}}, {}, {}}, frame, frame.to_plane(middle), {},
                section);
    REQUIRE(section.outline.size() >= 12);
    const double share = 1 - distance * distance / (reach * reach);
    const double area = pi * std::pow(radius, 3) * stretch / reach * share;
    CHECK(measure_curved_area(section.outline) == Approx(area).epsilon(1e-3));
    CHECK((measure_centroid(section.outline) - frame.to_plane(middle)).norm() < 1e-3);
  }
}

TEST_CASE("every corner of a section lies on the body's surface, nothing of it in a hollow",
          "[shape][section]") {
  RandomStream random(61, Purpose::test, 0);
  int cut = 0, with_holes = 0;
  for (int trial = 0; trial < 600; ++trial) {
    Body body;
    body.solids.push_back({Vec3::Zero(), 1.4});
    for (std::uint32_t i = random.below(3); i > 0; --i)
      body.solids.push_back({random.uniform(0.5, 1.5) * test::draw_direction(random), 0.7});
    const bool is_stretched = trial % 2 == 1;
    if (is_stretched)
      for (Ball& ball : body.solids)
        ball.stretch = random.uniform(0.4, 2.2), ball.axis = test::draw_direction(random);
    for (std::uint32_t i = random.below(14); i > 0; --i)
      body.hollows.push_back(
          {random.uniform(0.5, 1.6) * test::draw_direction(random), random.uniform(0.1, 0.6)});
    if (is_stretched)
      for (Ball& ball : body.hollows)
        if (random.below(2))
          ball.stretch = random.uniform(0.4, 2.2), ball.axis = test::draw_direction(random);
    if (random.below(2))
      for (int i = 0; i < 6; ++i) body.facets.push_back({test::draw_direction(random), 1.1});
    const Frame frame = make_frame(test::draw_direction(random), random.uniform(0, 1));
    const double angle = random.uniform(0, 2 * pi);
    const Vec2 hub = 0.5 * Vec2(std::cos(angle), std::sin(angle));
    Section section;
    cut_section(body, frame, hub, {}, section);
    const auto is_inside = [&](const Vec3& p) {
      bool inside = false;
      for (const Ball& ball : body.solids) inside = inside || test::measure_miss(ball, p) < 0;
      for (const Ball& ball : body.hollows) inside = inside && test::measure_miss(ball, p) > 0;
      for (const HalfSpace& facet : body.facets)
        inside = inside && facet.normal.dot(p) < facet.distance;
      return inside;
    };
    CAPTURE(trial);
    REQUIRE(section.outline.empty() == !is_inside(frame.to_space(hub)));
    if (section.outline.empty()) continue;
    ++cut;
    with_holes += !section.holes.empty();
    CHECK(is_simple(section.outline));
    CHECK(measure_area(section.outline) > 0);
    CHECK(contains(section.outline, hub));
    for (const Vec2& p : section.outline) CHECK(measure_miss(body, frame.to_space(p)) < 1e-9);
    for (const Polygon& hole : section.holes) {
      CHECK(measure_area(hole) > 0);
      for (const Vec2& p : hole) CHECK(measure_miss(body, frame.to_space(p)) < 1e-9);
    }
    // Points well off every surface lie on the piece only if they lie in the body.
    for (int i = 0; i < 200; ++i) {
      const Vec2 p(random.uniform(-1.5, 1.5), random.uniform(-1.5, 1.5));
      const bool on_piece = contains(section.outline, p) &&
                            std::none_of(section.holes.begin(), section.holes.end(),
                                         [&](const Polygon& hole) { return contains(hole, p); });
      if (on_piece && measure_miss(body, frame.to_space(p)) > 0.01)
        CHECK(is_inside(frame.to_space(p)));
    }
  }
  CHECK(cut > 200);
  CHECK(with_holes > 10);
}
