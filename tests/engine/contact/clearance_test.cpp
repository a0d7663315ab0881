#include "engine/contact/clearance.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <memory>

#include "engine/contact/trim.h"
#include "engine/tolerance.h"

using namespace sixtyfold;

namespace {

/// A regular polygon with this distance from its middle to its sides, one side across `direction`.
Polygon make_regular(int sides, double inradius, const Vec2& direction) {
  Polygon polygon;
  const double first = std::atan2(direction.y(), direction.x());
  for (int k = 0; k < sides; ++k) {
    const double angle = first + (2 * k - 1) * pi / sides;
    polygon.emplace_back(inradius / std::cos(pi / sides) * Vec2(std::cos(angle), std::sin(angle)));
  }
  return polygon;
}

double measure(const OrbitScheme& scheme, const Frame& frame, const Polygon& outline,
               double thickness, double up_to) {
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, frame, lines);
  ClearanceWorkspace work;
  work.joined.assign(scheme.pairs.size(), false);
  return measure_clearance({scheme, frame, lines, 1, outline, outline, thickness}, up_to, work);
}

/// The nearest meeting line: towards a neighbouring face.
MeetingLine find_nearest_line(const std::vector<MeetingLine>& lines) {
  MeetingLine nearest;
  nearest.offset = std::numeric_limits<double>::infinity();
  for (const MeetingLine& line : lines)
    if (line.exists && line.offset < nearest.offset) nearest = line;
  return nearest;
}

}  // namespace

// Dihedral angles: Coxeter, Regular Polytopes, 3rd ed. 1973, table I. Two plates of thickness t
// that stop g short of the common edge come closest with their inner corners. These lie g
// sin(delta/2) from the bisecting plane less (t/2) cos(delta/2), on either side.
TEST_CASE("faces of regular polyhedra that stop short of their edges", "[clearance]") {
  struct Solid {
    const char* group;
    int order;
    double dihedral_rad;
  };
  for (const Solid& solid :
       {Solid{"O", 4, std::acos(0.0)}, Solid{"I", 5, std::acos(-1 / std::sqrt(5.0))},
        Solid{"O", 3, std::acos(-1.0 / 3)}, Solid{"I", 3, std::acos(-std::sqrt(5.0) / 3)},
        Solid{"T", 3, std::acos(1.0 / 3)}}) {
    const auto tables =
        std::make_shared<const GroupTables>(make_group_tables(make_point_group(solid.group)));
    Vec3 normal = Vec3::Zero();
    for (const Axis& axis : find_axes(tables->group))
      if (axis.order == solid.order) normal = axis.direction;
    const OrbitScheme scheme = make_orbit_scheme(tables, normal, false, OnAxis::symmetric_outline);
    const Frame frame = make_frame(normal, 200);
    std::vector<MeetingLine> lines;
    find_meeting_lines(scheme, frame, lines);
    const MeetingLine edge = find_nearest_line(lines);
    for (const double gap : {6.0, 15.0})
      for (const double t : {1.0, 4.0}) {
        const Polygon face = make_regular(solid.order, edge.offset - gap, edge.side);
        const double half = solid.dihedral_rad / 2;
        const double expected = 2 * (gap * std::sin(half) - t / 2 * std::cos(half));
        CAPTURE(solid.group, solid.order, gap, t);
        CHECK(measure(scheme, frame, face, t, 100) == Approx(expected).epsilon(1e-6));
        CHECK(measure(scheme, frame, face, t, expected / 2) == Approx(expected / 2));
      }
  }
}

TEST_CASE("squares that share a plane", "[clearance]") {
  const auto tables = std::make_shared<const GroupTables>(make_group_tables(make_point_group("O")));
  Vec3 normal = Vec3::Zero();
  for (const Axis& axis : find_axes(tables->group))
    if (axis.order == 4) normal = axis.direction;
  const OrbitScheme scheme = make_orbit_scheme(tables, normal, false, OnAxis::own_sector);
  REQUIRE(scheme.coplanar.size() == 3);
  // 40 mm wide, at (50, 0) and (0, 50): 10 mm apart along both axes. The other planes are far away.
  const Polygon square{{30, -20}, {70, -20}, {70, 20}, {30, 20}};
  CHECK(measure(scheme, make_frame(normal, 500), square, 4, 40) == Approx(std::sqrt(200.0)));
}

TEST_CASE("a needle's end over a face, and on it", "[clearance]") {
  const auto tables =
      std::make_shared<const GroupTables>(make_group_tables(make_point_group("C2")));
  const double lean = 0.5;  // rad from the vertical
  const Vec3 normal(std::cos(lean), 0, std::sin(lean));
  const OrbitScheme scheme = make_orbit_scheme(tables, normal, false, OnAxis::own_sector);
  const Frame frame = make_frame(normal, 100);
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, frame, lines);
  const MeetingLine& line = lines[1];
  REQUIRE((line.side - Vec2(0, 1)).norm() < 1e-9);
  // A broad plate on one side of the middle that passes the line, and a needle on the other side
  // that ends `short_of` before it: turned, the needle comes down on the plate.
  for (const double short_of : {12.0, 20.0}) {
    const double y = line.offset;
    const Polygon outline{{-60, 0}, {60, 0},   {60, y + 60},        {25, y + 60},
                          {25, 10}, {-29, 10}, {-30, y - short_of}, {-31, 10},
                          {-60, 10}};
    const double t = 3;
    const double expected = short_of * line.sine - t / 2 * (1 + std::abs(line.cosine));
    CHECK(measure(scheme, frame, outline, t, 30) == Approx(expected).epsilon(1e-6));
  }
}

// Mirrored in planes at right angles to its own, a panel comes to lie on itself: no line tells.
TEST_CASE("copies that overlap in one plane have no clearance", "[clearance]") {
  const auto tables =
      std::make_shared<const GroupTables>(make_group_tables(make_point_group("Oh")));
  const OrbitScheme scheme =
      make_orbit_scheme(tables, Vec3(0.31, 0.53, 0.79).normalized(), false, OnAxis::own_sector);
  const Frame frame = make_frame(Vec3(0.6, 0, 0.8), 300);  // in the mirror plane y = 0
  const Polygon square{{-60, -60}, {60, -60}, {60, 60}, {-60, 60}};
  CHECK(measure(scheme, frame, square, 4, 40) == 0);
}
