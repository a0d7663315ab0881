#include "engine/contact/cells.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/trim.h"
#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "tests/support/draws.h"
#include "tests/support/sample_drafts.h"

using namespace sixtyfold;

namespace {

const double tau = (1 + std::sqrt(5.0)) / 2;

Polygon make_disc(double radius) {
  Polygon disc;
  for (int i = 0; i < 360; ++i)
    disc.push_back(radius * Vec2(std::cos(pi * i / 180), std::sin(pi * i / 180)));
  return disc;
}

/// What of the diagram on an axis of I lies within a shape, the plane being at distance 1, and the
/// interior dihedral angles at its edges, in degrees.
struct Facet {
  Polygon outline;
  std::vector<double> dihedral_deg;
  std::vector<Vec3> places;  ///< of its corners under all of the group, each once
};
Facet find_facet(const Vec3& axis, const Polygon& shape) {
  const auto group = std::make_shared<const PointGroup>(make_point_group("I"));
  const Vec3 normal = axis.normalized();
  const OrbitScheme scheme = make_orbit_scheme(group, normal, false, OnAxis::symmetric_outline);
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, make_frame(normal, 1), lines);
  LabelledOutline outline;
  join_cells(scheme, lines, shape, Vec2::Zero(), 400, outline);
  Facet facet{outline.to_polygon(), {}, {}};
  for (std::size_t i = 0; i < outline.size(); ++i)
    for (std::size_t e = 0; e < lines.size(); ++e)
      if (scheme.line_of[e] == outline.line[i]) {
        facet.dihedral_deg.push_back(180 - to_degrees(lines[e].theta_rad()));
        break;
      }
  const Frame frame = make_frame(normal, 1);
  for (const Vec2& p : facet.outline)
    for (const Mat3& g : group->elements) {
      const Vec3 place = g * frame.to_space(p);
      if (std::none_of(facet.places.begin(), facet.places.end(),
                       [&](const Vec3& known) { return (known - place).norm() < 1e-9; }))
        facet.places.push_back(place);
    }
  return facet;
}
Polygon join_on_axis(const Vec3& axis, const Polygon& shape) {
  return find_facet(axis, shape).outline;
}

/// A regular polygon about the foot, a little enlarged, in the direction in which its edges lie on
/// lines of the diagram at this distance; each direction once.
std::vector<Polygon> make_regular(const Vec3& axis, int corners, double inradius) {
  const auto group = std::make_shared<const PointGroup>(make_point_group("I"));
  const OrbitScheme scheme =
      make_orbit_scheme(group, axis.normalized(), false, OnAxis::symmetric_outline);
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, make_frame(axis.normalized(), 1), lines);
  std::vector<Polygon> found;
  std::vector<double> phases;
  for (const MeetingLine& line : lines) {
    if (!line.exists || std::abs(line.offset - inradius) > 1e-9) continue;
    const double step = 2 * pi / corners;
    const double phase = std::fmod(std::atan2(line.side.y(), line.side.x()) + 2 * pi + 1e-9, step);
    if (std::any_of(phases.begin(), phases.end(),
                    [&](double known) { return std::abs(known - phase) < 1e-6; }))
      continue;
    phases.push_back(phase);
    Polygon polygon;
    for (int k = 0; k < corners; ++k) {
      const double angle = phase + (k + 0.5) * step;
      polygon.push_back(1.01 * inradius / std::cos(step / 2) *
                        Vec2(std::cos(angle), std::sin(angle)));
    }
    found.push_back(polygon);
  }
  return found;
}

}  // namespace

TEST_CASE("the dodecahedron's diagram holds the pentagram of the small stellated one",
          "[cells][outside]") {
  // Coxeter 1973, section 6.2 and table I: the faces {5/2} of {5/2, 5} come of producing the edges
  // of the pentagon; points at tau^2 times the pentagon's radius. The pentagon {5} of inradius
  // tan(half the angle between neighbouring planes), whose dihedral angle has cosine -1/sqrt(5).
  const Polygon pentagon = join_on_axis({0, 1, tau}, make_disc(0.1));
  REQUIRE(pentagon.size() == 5);
  const double inradius = std::tan((pi - std::acos(-1 / std::sqrt(5.0))) / 2);
  for (const Vec2& p : pentagon)
    CHECK(p.norm() == Approx(inradius / std::cos(pi / 5)).epsilon(1e-9));
  const double corner = pentagon[0].norm();
  const Polygon pentagram = join_on_axis({0, 1, tau}, make_disc(1.6 * corner));
  REQUIRE(pentagram.size() == 10);
  int points = 0;
  for (std::size_t i = 0; i < 10; ++i) {
    const double radius = pentagram[i].norm();
    if (radius > 1.5 * corner) {
      ++points;
      CHECK(radius == Approx(tau * tau * corner).epsilon(1e-9));
      // Its angle is 36 degrees.
      const Vec2 a = pentagram[(i + 9) % 10] - pentagram[i],
                 b = pentagram[(i + 1) % 10] - pentagram[i];
      CHECK(to_degrees(std::acos(a.normalized().dot(b.normalized()))) == Approx(36));
    } else {
      CHECK(radius == Approx(corner).epsilon(1e-9));
    }
  }
  CHECK(points == 5);
}

TEST_CASE("the icosahedron's diagram holds the triangle of the great one", "[cells][outside]") {
  // Inradii for edge 1: {3, 5} sqrt(3) (3 + sqrt 5) / 12, {3, 5/2} sqrt(3) (3 - sqrt 5) / 12
  // (Coxeter 1973, table I); so the same planes hold triangles with edges in the ratio tau^4.
  const Polygon small = join_on_axis({1, 1, 1}, make_disc(0.05));
  REQUIRE(small.size() == 3);
  const double edge = (small[1] - small[0]).norm();
  CHECK(edge == Approx(12 / (std::sqrt(3.0) * (3 + std::sqrt(5.0)))).epsilon(1e-9));
  // The great triangle is turned the other way about; what lies within it, a little enlarged.
  const double radius = edge * std::pow(tau, 4) / std::sqrt(3.0);
  bool found = false;
  for (const double sign : {1.0, -1.0}) {
    Polygon shape;
    for (const Vec2& p : small) shape.push_back(sign * 1.02 * radius * p.normalized());
    const Polygon great = join_on_axis({1, 1, 1}, shape);
    if (great.size() != 3) continue;
    found = true;
    for (int i = 0; i < 3; ++i)
      CHECK((great[static_cast<std::size_t>(i)] - great[static_cast<std::size_t>((i + 1) % 3)])
                .norm() == Approx(edge * std::pow(tau, 4)).epsilon(1e-9));
  }
  CHECK(found);
}

TEST_CASE("the triacontahedron's diagram has the golden rhombus in its middle",
          "[cells][outside]") {
  // Diagonals in the golden ratio (Coxeter 1973, section 2.7).
  const Polygon rhombus = join_on_axis({0, 0, 1}, make_disc(0.05));
  REQUIRE(rhombus.size() == 4);
  const double a = (rhombus[2] - rhombus[0]).norm(), b = (rhombus[3] - rhombus[1]).norm();
  CHECK(std::max(a, b) / std::min(a, b) == Approx(tau).epsilon(1e-9));
}

TEST_CASE("dihedral angles of the stellated solids' facets are the published ones",
          "[cells][outside]") {
  // Coxeter 1973, table I, from memory: {5/2, 5} has the dihedral angle 116 34', {3, 5/2} 41 49',
  // {5, 3} 116 34', {3, 5} 138 11'. Twelve pentagrams share the 12 points of an icosahedron (and
  // the 20 corners of a dodecahedron where they cross).
  const auto all_are = [](const Facet& facet, double degrees, std::size_t edges) {
    CHECK(facet.dihedral_deg.size() == edges);
    for (const double angle : facet.dihedral_deg) CHECK(angle == Approx(degrees).margin(0.01));
  };
  const double steep = to_degrees(std::acos(-1 / std::sqrt(5.0)));
  CHECK(steep == Approx(116 + 34.0 / 60).margin(0.01));
  all_are(find_facet({0, 1, tau}, make_disc(0.1)), steep, 5);
  const double corner = find_facet({0, 1, tau}, make_disc(0.1)).outline[0].norm();
  const Facet pentagram = find_facet({0, 1, tau}, make_disc(1.6 * corner));
  all_are(pentagram, steep, 10);
  CHECK(pentagram.places.size() == 12 + 20);
  const Facet small = find_facet({1, 1, 1}, make_disc(0.05));
  all_are(small, 138 + 11.0 / 60, 3);
  // The great icosahedron's triangle reaches to the lines farthest out.
  const double far_out = std::tan(std::acos(-std::sqrt(5.0) / 3) / 2);
  for (const Polygon& shape : make_regular({1, 1, 1}, 3, far_out)) {
    const Facet great = find_facet({1, 1, 1}, shape);
    all_are(great, 41 + 49.0 / 60, 3);
    CHECK(great.places.size() == 12);
  }
}

TEST_CASE("twenty triangles make five tetrahedra, thirty squares five cubes", "[cells][outside]") {
  // Stellations: the five tetrahedra of the icosahedron (Coxeter, du Val, Flather and Petrie 1938,
  // there Ef1), the five cubes of the rhombic triacontahedron (Pawley 1975), both from memory.
  // A tetrahedron of inradius 1 has edges of 2 sqrt 6, corners at 3 from the centre and the
  // dihedral angle of cosine 1/3; a cube edges of 2 and corners at sqrt 3 (Coxeter 1973, table I).
  // The five of either share the 20 corners of a dodecahedron.
  const std::vector<Polygon> triangles = make_regular({1, 1, 1}, 3, std::sqrt(2.0));
  CHECK(triangles.size() == 2);  // one for each of the two mirror images
  for (const Polygon& shape : triangles) {
    const Facet facet = find_facet({1, 1, 1}, shape);
    REQUIRE(facet.outline.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
      CHECK((facet.outline[i] - facet.outline[(i + 1) % 3]).norm() ==
            Approx(2 * std::sqrt(6.0)).epsilon(1e-9));
      CHECK(facet.dihedral_deg[i] == Approx(to_degrees(std::acos(1.0 / 3))));
    }
    CHECK(facet.places.size() == 20);
    for (const Vec3& place : facet.places) CHECK(place.norm() == Approx(3).epsilon(1e-9));
  }
  const std::vector<Polygon> squares = make_regular({0, 0, 1}, 4, 1);
  REQUIRE(squares.size() == 1);
  const Facet square = find_facet({0, 0, 1}, squares[0]);
  REQUIRE(square.outline.size() == 4);
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK((square.outline[i] - square.outline[(i + 1) % 4]).norm() == Approx(2).epsilon(1e-9));
    CHECK(square.dihedral_deg[i] == Approx(90));
  }
  CHECK(square.places.size() == 20);
  for (const Vec3& place : square.places)
    CHECK(place.norm() == Approx(std::sqrt(3.0)).epsilon(1e-9));
}

TEST_CASE("edges of joined cells lie on the planes of other copies", "[cells]") {
  RandomStream random(91, Purpose::test, 0);
  int joined = 0;
  for (const char* symbol : {"I", "O", "T", "D5", "C6"}) {
    const OrbitScheme scheme = support::make_generic_scheme(symbol);
    for (int trial = 0; trial < 30; ++trial) {
      const OutlineFamily& family = outline_families()[random.below(5)];
      const std::vector<double> values = test::draw_values(family.parameters, random);
      const double angle = random.uniform(0, 2 * pi), tilt = random.uniform(0, 1.4);
      const Vec2 hub = std::sin(tilt) * Vec2(std::cos(angle), std::sin(angle));
      const double size = random.uniform(0.3, 1.5);
      Polygon shape = family.draw(values);
      for (Vec2& p : shape) p = size * p + hub;
      const Frame frame = make_frame(test::draw_direction(random), std::cos(tilt));
      std::vector<MeetingLine> lines;
      find_meeting_lines(scheme, frame, lines);
      LabelledOutline outline;
      join_cells(scheme, lines, shape, hub, 200, outline);
      if (outline.size() == 0) continue;
      ++joined;
      CAPTURE(symbol, trial, outline.size());
      CHECK(is_simple(outline.to_polygon()));
      CHECK(outline.area() > 0);
      CHECK(contains(outline.to_polygon(), hub));
      for (std::size_t i = 0; i < outline.size(); ++i) {
        const std::size_t next = (i + 1) % outline.size();
        bool lies_on = false;
        for (std::size_t e = 0; e < lines.size(); ++e)
          if (scheme.line_of[e] == outline.line[i])
            lies_on = lies_on || (std::abs(lines[e].height_of(outline.vertex(i))) < 1e-9 &&
                                  std::abs(lines[e].height_of(outline.vertex(next))) < 1e-9);
        CHECK(lies_on);
      }
    }
  }
  CHECK(joined > 40);
}
