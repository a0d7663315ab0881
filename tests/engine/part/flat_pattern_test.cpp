#include <catch2/catch.hpp>
#include <cmath>

#include "engine/contact/rebuild.h"
#include "engine/part/part_joints.h"
#include "engine/part/setback.h"
#include "engine/part/tab_fit.h"
#include "engine/shape/boolean.h"
#include "tests/support/polyhedra.h"
#include "tests/support/random_designs.h"

using namespace sixtyfold;
using namespace sixtyfold::test;

TEST_CASE("setbacks have the values of their formulas", "[flat]") {
  // Elementary trigonometry on the section; t = 4 mm.
  CHECK(cut_on_face_setback(4, pi / 2) == Approx(2));
  CHECK(cut_on_face_setback(4, pi / 3) == Approx(2 * std::sqrt(3.0)));
  CHECK(cut_on_face_setback(4, pi / 6) == Approx(2 * (2 + std::sqrt(3.0))));
  CHECK(fold_on_face_setback(4, pi / 2) == Approx(4));
  CHECK(fold_on_face_setback(4, pi / 6) == Approx(8));
  CHECK(edge_to_edge_setback(4, pi / 2) == Approx(2));
  CHECK(edge_to_edge_setback(4, 2 * pi / 3) == Approx(2 / std::sqrt(3.0)));
  CHECK(edge_to_edge_setback(4, pi) == Approx(0).margin(1e-12));
  CHECK(fold_in_bisector_setback(4, pi / 2) == Approx(2 * std::sqrt(2.0)));
  CHECK(fold_in_bisector_setback(4, pi) == Approx(2));
  CHECK(hinge_shift(2, pi / 2) == Approx(2));
  CHECK(hinge_shift(2, pi / 3) == Approx(2 / std::sqrt(3.0)));
  CHECK(crease_behind_line(4, to_radians(36), 0) == Approx(5.5055).margin(1e-4));
  CHECK(crease_behind_line(4, to_radians(20), 0) == Approx(10.9899).margin(1e-4));
}

TEST_CASE("a fold whose inner face keeps its length stands the outside setback from the corner",
          "[flat]") {
  // Sheet-metal bending, from memory of its handbooks: the outside setback, from the sharp corner
  // of the outer faces to where the bend begins, is tan(A/2)(T + R); here R = 0 and the neutral
  // layer is the inner face. The sharp corner is that of a butting cut edge.
  for (double deg = 15; deg <= 165; deg += 15) {
    const double fold = to_radians(deg), t = 3.2;
    CHECK(fold_on_face_setback(t, fold) - hinge_shift(-t / 2, fold) -
              cut_on_face_setback(t, fold) ==
          Approx(t * std::tan(fold / 2)).margin(1e-9));
  }
}

TEST_CASE("a fold whose outer face keeps its length is drawn where a butting edge is cut",
          "[flat]") {
  // Then the hinge is the corner that touches the mate's face, for either joint.
  for (double deg = 15; deg <= 165; deg += 15) {
    const double fold = to_radians(deg);
    CHECK(fold_on_face_setback(4, fold) - hinge_shift(2, fold) ==
          Approx(cut_on_face_setback(4, fold)).margin(1e-9));
    CHECK(crease_behind_line(4, fold, 2) == Approx(cut_on_face_setback(4, fold)).margin(1e-9));
    if (deg < 90)
      CHECK(fold_in_bisector_setback(4, 2 * fold) - hinge_shift(2, fold) ==
            Approx(edge_to_edge_setback(4, 2 * fold)).margin(1e-9));
  }
}

TEST_CASE("a setback is the least that keeps the two boards apart", "[flat]") {
  // Independent of the formulas: slide P's rectangle towards the mate in the section until its
  // corner touches, by bisection on the corner's distance from the mate's face.
  const double t = 3.7;
  for (double deg = 12; deg <= 90; deg += 6) {
    const double theta = to_radians(deg);
    const Vec2 n(std::sin(theta), std::cos(theta));  // of the mate's plane, towards P when turned
    double low = -1000, high = 1000;                 // the setback
    for (int k = 0; k < 100; ++k) {
      const double s = (low + high) / 2;
      double nearest = 1e300;
      for (const double y : {-t / 2, t / 2}) nearest = std::min(nearest, -n.dot(Vec2(-s, y)));
      (nearest >= t / 2 ? high : low) = s;
    }
    CHECK(cut_on_face_setback(t, theta) == Approx(high).epsilon(1e-9));
  }
}

TEST_CASE("the cube's plates shrink by half a thickness and carry double tabs", "[flat]") {
  const Design cube = make_cube(150, 4);
  REQUIRE(cube.joints.size() == 12);
  const PartJoints joints = find_part_joints(cube);
  CHECK(joints.faults.empty());
  REQUIRE(joints.joints.size() == 1);
  REQUIRE(joints.joints[0].size() == 4);
  for (const PanelJoint& j : joints.joints[0]) {
    CHECK(j.angle_rad == Approx(pi / 2));
    CHECK(j.role == JointRole::double_tab);
    CHECK(j.mate_side.isApprox(Vec3(0, 0, -1), 1e-9));
  }
  FlatOptions options;
  const TabShapes shapes = fit_tabs({cube.orbits[0].panel.outline_mm}, joints, options);
  const FlatPattern flat = make_flat_pattern(
      {cube.orbits[0].panel.outline_mm, {}, joints.joints[0], shapes[0], {}}, options);
  // Fold at (t/2)/sin 45 = 2.8284 from the line on all four sides.
  CHECK(measure_area(flat.body_mm) == Approx(std::pow(300 - 2 * 2.8284271, 2)).epsilon(1e-4));
  REQUIRE(flat.tabs.size() == 4);
  for (const Tab& tab : flat.tabs) {
    CHECK(tab.depth_mm == Approx(35));
    CHECK(to_degrees(tab.fold_rad) == Approx(45));
    CHECK(tab.fold_side == 1);  // outwards: away from the mate
    CHECK(measure_area(tab.outline_mm) > 35 * 200);
  }
  CHECK(is_simple(flat.outline_mm));
  // Ends are cut back at 45 degrees; corners of neighbouring tabs keep clear of each other.
  CHECK(
      measure_area(flat.outline_mm) ==
      Approx(measure_area(flat.body_mm) + 4 * measure_area(flat.tabs[0].outline_mm)).epsilon(1e-3));
}

TEST_CASE("the dodecahedron's letters, folds and setbacks agree with its dihedral angle",
          "[flat]") {
  const Design solid = make_dodecahedron(300, 4);
  REQUIRE(solid.joints.size() == 30);
  const PartJoints joints = find_part_joints(solid);
  CHECK(joints.faults.empty());
  REQUIRE(joints.joints[0].size() == 5);
  const double dihedral = std::acos(-1 / std::sqrt(5.0));  // 116.565 deg, Coxeter 1973 table I
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(joints.joints[0][i].angle_rad == Approx(dihedral));
    CHECK(joints.letter[0][i] == joints.letter[0][0]);
  }
}

TEST_CASE("a plate standing on a plate has one tab of the right fold", "[flat]") {
  for (const double deg : {90.0, 70.0, 45.0, 25.0}) {
    const Design design = make_plate_on_plate(deg, 4);
    REQUIRE(design.joints.size() == 1);
    CHECK(design.joints[0].panels[0] == 0);
    CHECK(design.joints[0].angle_deg == Approx(deg));
    const PartJoints joints = find_part_joints(design);
    REQUIRE(joints.joints[0].size() == 1);
    REQUIRE(joints.joints[1].size() == 1);
    CHECK(joints.joints[0][0].role == JointRole::tab_edge);
    CHECK(joints.joints[1][0].role == JointRole::seat);
    CHECK(joints.letter[0][0] == joints.letter[1][0]);
    FlatOptions options;
    const TabShapes shapes = fit_tabs(
        {design.orbits[0].panel.outline_mm, design.orbits[1].panel.outline_mm}, joints, options);
    const FlatPattern flat = make_flat_pattern(
        {design.orbits[0].panel.outline_mm, {}, joints.joints[0], shapes[0], {}}, options);
    REQUIRE(flat.tabs.size() == 1);
    const Tab& tab = flat.tabs[0];
    CHECK(to_degrees(tab.fold_rad) == Approx(deg));
    CHECK(tab.fold_from_mm.y() == Approx(4 / std::sin(to_radians(deg))));
    CHECK(tab.depth_mm == Approx(35));
    // The folded tab's direction lies in the floor.
    const Frame own = make_copy_frame(design, 0);
    const Vec3 space = tab.direction.x() * own.x_axis + tab.direction.y() * own.y_axis +
                       tab.direction.z() * own.normal;
    CHECK(std::abs(space.z()) < 1e-9);
    const FlatPattern floor = make_flat_pattern(
        {design.orbits[1].panel.outline_mm, {}, joints.joints[1], shapes[1], {}}, options);
    REQUIRE(floor.seats.size() == 1);
    CHECK(floor.seats[0].side == 1);
  }
}

TEST_CASE("what does not fit is said, not drawn", "[flat]") {
  PanelJoint joint;
  joint.role = JointRole::tab_edge;
  joint.from_mm = {0, 0};
  joint.to_mm = {20, 0};
  joint.angle_rad = pi / 2;
  joint.mate_side = {0, 0, 1};
  FlatOptions options;
  CHECK(make_plain_tab(joint, options).depth_mm == 0);
  const Polygon outline{{0, 0}, {20, 0}, {20, 50}, {0, 50}};
  const FlatPattern flat = make_flat_pattern({outline, {}, {joint}, {TabShape{}}, {}}, options);
  CHECK(flat.tabs.empty());
  CHECK(flat.joints_without_tab == std::vector<int>{0});
  CHECK(measure_box(flat.outline_mm).low.y() ==
        Approx(2));  // a cut edge butting at 90 degrees: t/2
  options.thickness_mm = std::nan("");
  CHECK_THROWS_AS(make_flat_pattern({outline, {}, {joint}, {TabShape{}}, {}}, options),
                  std::invalid_argument);
}

TEST_CASE("a tab lies on the longer side of what stands in its way", "[flat]") {
  Design design = make_plate_on_plate(90, 4);
  const FlatOptions options;
  const Vec3 normal = design.orbits[0].panel.frame.normal;
  const PartJoints alone = find_part_joints(design);
  const double side = std::copysign(1, (alone.joints[0][0].mate_side.z() * normal).y());
  // A longer plate, whose tab is fitted later, stands on the floor in the plane x = 30, 10 mm
  // beside it.
  Orbit other;
  other.panel.frame.origin = Vec3(30, 0, 0);
  other.panel.frame.x_axis = Vec3::UnitY();
  other.panel.frame.y_axis = Vec3::UnitZ();
  other.panel.frame.normal = Vec3::UnitX();
  const double low = std::min(10 * side, 190 * side), high = std::max(10 * side, 190 * side);
  other.panel.outline_mm = {{low, 0}, {high, 0}, {high, 100}, {low, 100}};
  other.copies = {Mat3::Identity()};
  design.orbits.push_back(other);
  design.joints = rebuild(design).joints;
  REQUIRE(design.joints.size() == 2);
  const PartJoints joints = find_part_joints(design);
  std::vector<Polygon> outlines;
  for (const Orbit& orbit : design.orbits) outlines.push_back(orbit.panel.outline_mm);
  const TabShape shape = fit_tabs(outlines, joints, options)[0][0];
  CHECK(shape.depth_mm == 35);
  // From the joint's end at -80 to 1 mm before the plate's face at 28.
  const bool forwards = joints.joints[0][0].from_mm.x() < 0;
  CHECK((forwards ? shape.from_inset_mm : shape.to_inset_mm) < 1);
  CHECK((forwards ? shape.to_inset_mm : shape.from_inset_mm) == Approx(80 - 27).margin(0.2));
}

TEST_CASE("the bound for the search holds every flat pattern", "[flat]") {
  for (const double deg : {90.0, 60.0, 30.0}) {
    const Design design = make_plate_on_plate(deg, 5);
    const PartJoints joints = find_part_joints(design);
    FlatOptions options;
    options.thickness_mm = 5;
    const Polygon& outline = design.orbits[0].panel.outline_mm;
    Polygon points = outline;
    for (const PanelJoint& j : joints.joints[0]) {
      const TabReach reach = measure_tab_reach(j, options);
      CHECK(reach.length_mm == Approx(35 - 5 / std::sin(to_radians(deg))));
      points.insert(points.end(), reach.corners_mm, reach.corners_mm + 2);
    }
    const TabShapes shapes =
        fit_tabs({outline, design.orbits[1].panel.outline_mm}, joints, options);
    const FlatPattern flat =
        make_flat_pattern({outline, {}, joints.joints[0], shapes[0], {}}, options);
    CHECK(measure_set_area(make_difference({flat.outline_mm}, {make_convex_hull(points)})) < 0.1);
  }
}

TEST_CASE("random designs get flat patterns that keep the rules of their tabs", "[flat]") {
  Limits limits;
  int designs = 0, tabs = 0, without = 0;
  for (const char* symbol : {"I", "O", "T", "D5"})
    for (std::uint64_t index = 0; index < 150 && designs < 60; ++index) {
      const auto design = make_random_design(symbol, limits, index);
      if (!design) continue;
      ++designs;
      const PartJoints joints = find_part_joints(*design);
      CHECK(joints.faults.empty());
      FlatOptions options;
      const Polygon& outline = design->orbits[0].panel.outline_mm;
      const TabShapes shapes = fit_tabs({outline}, joints, options);
      const FlatPattern flat =
          make_flat_pattern({outline, {}, joints.joints[0], shapes[0], {}}, options);
      REQUIRE(flat.outline_mm.size() > 2);
      CHECK(is_simple(flat.outline_mm));
      tabs += static_cast<int>(flat.tabs.size());
      without += static_cast<int>(flat.joints_without_tab.size());
      // Each tab adds its whole area to the body: it overlaps neither the body nor another tab.
      double area = measure_area(flat.body_mm);
      for (const Tab& tab : flat.tabs) area += measure_area(tab.outline_mm);
      CHECK(measure_area(flat.outline_mm) == Approx(area).epsilon(1e-3));
      Polygon points = outline;
      for (const PanelJoint& j : joints.joints[0]) {
        const TabReach reach = measure_tab_reach(j, options);
        points.insert(points.end(), reach.corners_mm, reach.corners_mm + 2);
      }
      CHECK(measure_set_area(make_difference({flat.outline_mm}, {make_convex_hull(points)})) < 0.5);
    }
  CHECK(designs >= 20);
  CHECK(tabs > 4 * without);
  INFO(designs << " designs, " << tabs << " tabs, " << without << " without");
  CHECK(designs > 0);
}
