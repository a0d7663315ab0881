#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "engine/contact/rebuild.h"
#include "engine/shape/mirrored.h"
#include "engine/variant/variant.h"
#include "tests/support/sample_drafts.h"
#include "tests/support/test_limits.h"

using namespace sixtyfold;

namespace {

struct Solid {
  const char* name;
  const char* group;
  Vec3 normal;
  OnAxis on_axis;
  int faces, edges, corners_of_face;
  double dihedral_deg;
};

const double tau = (1 + std::sqrt(5.0)) / 2;
const double root2 = std::sqrt(2.0);

/// The icosahedral axes of one chamber: nearest axes of order 5, 3 and 2 to a fixed direction.
Vec3 find_near_axis(int order, const Vec3& direction) {
  const PointGroup group = make_point_group("I");
  Vec3 best = Vec3::UnitX();
  double nearest = -2;
  for (int e = 1; e < group.order(); ++e) {
    if (find_element_order(group, e) != order) continue;
    const Eigen::AngleAxisd turn(group.elements[static_cast<std::size_t>(e)]);
    for (const double sign : {1.0, -1.0})
      if (sign * turn.axis().dot(direction) > nearest) {
        nearest = sign * turn.axis().dot(direction);
        best = sign * turn.axis();
      }
  }
  return best;
}

const Vec3 somewhere = Vec3(0.31, 0.52, 1.07).normalized();
const Vec3 five = find_near_axis(5, somewhere), three = find_near_axis(3, five);

/// A corner's nearest neighbour of the same kind.
Vec3 find_neighbour(const Vec3& corner) {
  const PointGroup group = make_point_group("I");
  Vec3 best = corner;
  double nearest = -2;
  for (const Mat3& g : group.elements) {
    const Vec3 image = g * corner;
    if ((image - corner).norm() < 1e-6) continue;
    if (image.dot(corner) > nearest) nearest = image.dot(corner), best = image;
  }
  return best;
}

// Dihedral angles: Coxeter, Regular Polytopes (1973), Table I, and Wenninger, Dual Models (1983),
// as cosines in tests/sources.md 2. Normals: an axis, or a face of the Catalan
// solid (dual of the vertex of the Archimedean solid with the same symmetry).
const Solid solids[] = {
    {"tetrahedron", "T", Vec3(1, 1, 1), OnAxis::symmetric_outline, 4, 6, 3,
     to_degrees(std::acos(1.0 / 3))},
    {"cube", "O", Vec3(0, 0, 1), OnAxis::symmetric_outline, 6, 12, 4, 90},
    {"octahedron", "O", Vec3(1, 1, 1), OnAxis::symmetric_outline, 8, 12, 3,
     to_degrees(std::acos(-1.0 / 3))},
    {"dodecahedron", "I", five, OnAxis::symmetric_outline, 12, 30, 5,
     to_degrees(std::acos(-1 / std::sqrt(5.0)))},
    {"icosahedron", "I", Vec3(1, 1, 1), OnAxis::symmetric_outline, 20, 30, 3,
     to_degrees(std::acos(-std::sqrt(5.0) / 3))},
    {"rhombic dodecahedron", "O", Vec3(1, 1, 0), OnAxis::symmetric_outline, 12, 24, 4, 120},
    {"rhombic triacontahedron", "I", Vec3(0, 0, 1), OnAxis::symmetric_outline, 30, 60, 4, 144},
    {"triakis octahedron", "O", Vec3(1, 1, root2 - 1), OnAxis::own_sector, 24, 36, 3,
     to_degrees(std::acos(-(3 + 8 * root2) / 17))},
    {"tetrakis hexahedron", "O", Vec3(2, 1, 0), OnAxis::own_sector, 24, 36, 3,
     to_degrees(std::acos(-4.0 / 5))},
    {"deltoidal icositetrahedron", "O", Vec3(1, 1, 1 + root2), OnAxis::own_sector, 24, 48, 4,
     to_degrees(std::acos(-(7 + 4 * root2) / 17))},
    {"pentakis dodecahedron", "I", 2 * five + find_neighbour(five), OnAxis::own_sector, 60, 90, 3,
     to_degrees(std::acos(-(80 + 9 * std::sqrt(5.0)) / 109))},
    {"triakis icosahedron", "I", (1 + tau) * three + find_neighbour(three), OnAxis::own_sector, 60,
     90, 3, to_degrees(std::acos(-(24 + 15 * std::sqrt(5.0)) / 61))},
    {"deltoidal hexecontahedron", "I", Vec3(1, 1, tau* tau* tau), OnAxis::own_sector, 60, 120, 4,
     to_degrees(std::acos(-(19 + 8 * std::sqrt(5.0)) / 41))},
};

}  // namespace

TEST_CASE("regular and Catalan solids come out of grow, then trim", "[trim][outside]") {
  for (const Solid& solid : solids) {
    DYNAMIC_SECTION(solid.name) {
      const auto group = std::make_shared<const PointGroup>(make_point_group(solid.group));
      const Vec3 normal = solid.normal.normalized();
      const OrbitScheme scheme = make_orbit_scheme(group, normal, false, solid.on_axis);
      REQUIRE(scheme.panels() == solid.faces);
      Draft draft;
      draft.normal = normal;
      draft.distance = 1;
      draft.style = TrimStyle::meet;
      draft.outline = support::make_large_square(9);
      if (solid.on_axis == OnAxis::symmetric_outline) {
        draft.outline.clear();  // a disc with the axis's symmetry
        for (int i = 0; i < 60; ++i)
          draft.outline.push_back(9 * Vec2(std::cos(2 * pi * i / 60), std::sin(2 * pi * i / 60)));
      }
      VariantWorkspace work;
      Variant variant;
      make_variant(scheme, draft, test::make_open_limits(), work, variant);
      CHECK(variant.score.joints == solid.edges);
      CHECK(variant.score.edge_joints == solid.edges);
      CHECK(variant.score.pieces == 1);
      CHECK(variant.score.min_angle_deg == Approx(solid.dihedral_deg).margin(1e-9));
      CHECK(variant.score.max_angle_deg == Approx(solid.dihedral_deg).margin(1e-9));
      CHECK(make_simplified(variant.outline.to_polygon(), 1e-9).size() ==
            static_cast<std::size_t>(solid.corners_of_face));
      // Midradius 1 / sin(dihedral / 2) (tests/sources.md 2): the line nearest to the centre.
      for (const PairJoint& joint : variant.joints) {
        const MeetingLine& line = variant.lines[static_cast<std::size_t>(joint.element)];
        CHECK(std::hypot(line.offset, 1.0) ==
              Approx(1 / std::sin(to_radians(solid.dihedral_deg) / 2)).epsilon(1e-12));
      }
      const Rebuilt rebuilt = rebuild(make_design(scheme, variant, test::make_open_limits()));
      CHECK(rebuilt.joints.size() == static_cast<std::size_t>(solid.edges));
      CHECK(rebuilt.collisions.empty());
      CHECK(rebuilt.pieces == 1);
    }
  }
}

TEST_CASE("in groups with reflections the same solids come out of mirror-symmetric faces",
          "[trim][mirrored][outside]") {
  for (const Solid& solid : solids) {
    const std::string symbol =
        std::string(solid.group) == "T" ? "Td" : solid.group + std::string("h");
    DYNAMIC_SECTION(solid.name << " in " << symbol) {
      const auto group = std::make_shared<const PointGroup>(make_point_group(symbol));
      const Vec3 normal = solid.normal.normalized();
      const OrbitScheme scheme = make_orbit_scheme(group, normal, false, OnAxis::symmetric_outline);
      REQUIRE(scheme.panels() == solid.faces);
      REQUIRE(scheme.has_mirror());
      Draft draft;
      draft.normal = normal;
      draft.distance = 1;
      draft.style = TrimStyle::meet;
      const Frame frame = make_frame(normal, 1);
      const Mat3& mirror =
          group->elements[static_cast<std::size_t>(scheme.own_symmetries.back().element)];
      const Vec3 image = mirror * frame.x_axis;
      for (int i = 0; i < 60; ++i)
        draft.outline.push_back(9 * Vec2(std::cos(2 * pi * i / 60), std::sin(2 * pi * i / 60)));
      mirror_outline(draft.outline, scheme.outline_fold(),
                     std::atan2(frame.y_axis.dot(image), frame.x_axis.dot(image)) / 2);
      VariantWorkspace work;
      Variant variant;
      make_variant(scheme, draft, test::make_open_limits(), work, variant);
      CHECK(variant.score.joints == solid.edges);
      CHECK(variant.score.edge_joints == solid.edges);
      CHECK(variant.score.min_angle_deg == Approx(solid.dihedral_deg).margin(1e-9));
      CHECK(variant.score.max_angle_deg == Approx(solid.dihedral_deg).margin(1e-9));
      CHECK(make_simplified(variant.outline.to_polygon(), 1e-9).size() ==
            static_cast<std::size_t>(solid.corners_of_face));
      CHECK(variant.score.joint_cover == Approx(1));
      const Rebuilt rebuilt = rebuild(make_design(scheme, variant, test::make_open_limits()));
      CHECK(rebuilt.joints.size() == static_cast<std::size_t>(solid.edges));
      CHECK(rebuilt.collisions.empty());
    }
  }
}

TEST_CASE("a meeting line lies at d tan(theta / 2), perpendicular to the image of the normal",
          "[trim]") {
  const PointGroup group = make_point_group("I");
  const Frame frame = make_frame(Vec3(0.31, 0.52, 1.07).normalized(), 0.7);
  for (int e = 1; e < group.order(); ++e) {
    const Mat3& g = group.elements[static_cast<std::size_t>(e)];
    const MeetingLine line = make_meeting_line(frame, g);
    REQUIRE(line.exists);
    const double theta = std::acos(frame.normal.dot(g * frame.normal));
    CHECK(line.offset == Approx(0.7 * std::tan(theta / 2)).epsilon(1e-9));
    for (const double s : {-2.0, 0.5}) {
      const Vec3 point = frame.to_space(line.point_at(s));
      CHECK((g * frame.normal).dot(point) == Approx(0.7));
      // g maps position -s of the line of g^-1 to position s of the line of g.
      const MeetingLine other =
          make_meeting_line(frame, group.elements[static_cast<std::size_t>(group.invert(e))]);
      CHECK((g * frame.to_space(other.point_at(-s)) - point).norm() < 1e-12);
    }
  }
}

TEST_CASE("trimmed variants agree with a rebuild from all pairs of copies", "[trim]") {
  for (const char* symbol : {"I", "O", "T", "D2", "D3", "D5", "D12", "C3", "C6", "C17"}) {
    const OrbitScheme scheme = support::make_generic_scheme(symbol);
    VariantWorkspace work;
    Variant variant;
    int compared = 0;
    for (std::uint64_t i = 0; i < 60; ++i) {
      make_variant(scheme, support::make_sample_draft(i), test::make_open_limits(), work, variant);
      if (variant.score.joints == 0 || variant.score.diameter_mm == 0) continue;
      const Design design = make_design(scheme, variant, test::make_open_limits());
      const Rebuilt rebuilt = rebuild(design);
      INFO(symbol << " sample " << i);
      CHECK(rebuilt.collisions.empty());
      CHECK(static_cast<int>(rebuilt.joints.size()) == variant.score.joints);
      CHECK(design.joints.size() == rebuilt.joints.size());
      CHECK(rebuilt.pieces == variant.score.pieces);
      ++compared;
    }
    CHECK(compared > 5);
  }
}

TEST_CASE("trimming only removes material and keeps the hub", "[trim]") {
  const OrbitScheme scheme = support::make_generic_scheme("O");
  VariantWorkspace work;
  Variant variant;
  for (std::uint64_t i = 0; i < 200; ++i) {
    const Draft draft = support::make_sample_draft(i);
    make_variant(scheme, draft, test::make_open_limits(), work, variant);
    if (variant.status == Status::hub_lost) continue;
    const Polygon trimmed = variant.outline.to_polygon();
    CHECK(contains(trimmed, draft.hub));
    CHECK(measure_area(trimmed) <= measure_area(draft.outline) * (1 + 1e-12));
    CHECK(is_simple(trimmed));
    for (const Vec2& p : trimmed)
      CHECK((contains(draft.outline, p) || distance_to_boundary(draft.outline, p) < 1e-9));
  }
}

TEST_CASE("moving the plane by a group element changes no score", "[trim]") {
  for (const char* symbol : {"T", "D5", "I"}) {
    const OrbitScheme scheme = support::make_generic_scheme(symbol);
    VariantWorkspace work;
    Variant variant, moved;
    for (std::uint64_t i = 0; i < 40; ++i) {
      Draft draft = support::make_sample_draft(i);
      make_variant(scheme, draft, test::make_open_limits(), work, variant);
      const Frame frame = make_frame(draft.normal, draft.distance);
      const int order = scheme.group->order();
      const Mat3& g =
          scheme.group->elements[static_cast<std::size_t>(1 + i) % static_cast<std::size_t>(order)];
      const Frame image = make_frame(g * draft.normal, draft.distance);
      for (Vec2& p : draft.outline) p = image.to_plane(g * frame.to_space(p));
      draft.hub = image.to_plane(g * frame.to_space(draft.hub));
      draft.normal = g * draft.normal;
      make_variant(scheme, draft, test::make_open_limits(), work, moved);
      INFO(symbol << " sample " << i);
      CHECK(moved.status == variant.status);
      CHECK(moved.score.joints == variant.score.joints);
      CHECK(moved.score.pieces == variant.score.pieces);
      CHECK(moved.score.total_joint_mm == Approx(variant.score.total_joint_mm).margin(1e-6));
    }
  }
}
