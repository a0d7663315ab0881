#include "engine/structure/load.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/design.h"
#include "engine/structure/body.h"
#include "engine/structure/motion.h"
#include "engine/structure/stiffness.h"
#include "engine/symmetry/point_group.h"
#include "tests/support/plates.h"

using namespace sixtyfold;

// Hand statics: levers, sums of forces, a weight on a glue line; any statics textbook.

namespace {

/// Adds an orbit of one flat polygon in space.
void add_plate(Design& design, const std::vector<Vec3>& polygon) {
  Vec3 normal = Vec3::Zero();
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
    normal += (polygon[i] - polygon[0]).cross(polygon[i + 1] - polygon[0]);
  normal.normalize();
  Orbit orbit;
  orbit.panel.frame = make_frame(normal, normal.dot(polygon[0]));
  for (const Vec3& p : polygon) orbit.panel.outline_mm.push_back(orbit.panel.frame.to_plane(p));
  orbit.copies = {Mat3::Identity()};
  design.orbits.push_back(orbit);
}

void add_joint(Design& design, int i, int j, const Vec3& from, const Vec3& to) {
  Joint joint;
  joint.panels[0] = i, joint.panels[1] = j;
  joint.from_mm = from, joint.to_mm = to;
  design.joints.push_back(joint);
}

Design make_plate_design(const Plates& plates, double scale, const std::vector<int>& removed) {
  Design design;
  std::vector<int> number(plates.faces.size(), -1);
  int count = 0;
  for (std::size_t f = 0; f < plates.faces.size(); ++f) {
    if (std::find(removed.begin(), removed.end(), static_cast<int>(f)) != removed.end()) continue;
    number[f] = count++;
    std::vector<Vec3> polygon;
    for (const int v : plates.faces[f])
      polygon.push_back(scale * plates.vertices[static_cast<std::size_t>(v)]);
    add_plate(design, polygon);
  }
  const Structure hinged = make_hinged(plates, removed);
  for (const Joint& joint : hinged.joints)
    add_joint(design, joint.panels[0], joint.panels[1], scale * joint.from_mm, scale * joint.to_mm);
  return design;
}

double weigh(double area_mm2) { return 0.6e-6 * area_mm2 * gravity_m_per_s2; }

double sum_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return sum;
}

}  // namespace

TEST_CASE("a plate hung at two points shares its weight by the lever rule", "[structure]") {
  Design design;  // upright, 400 wide, 100 high
  add_plate(design, {{0, 0, 0}, {400, 0, 0}, {400, 0, 100}, {0, 0, 100}});
  LoadCase load_case;
  load_case.supports = {{0, {100, 0, 100}}, {0, {350, 0, 100}}};
  const LoadResult found = measure_load(design, load_case);
  REQUIRE(found.fault.empty());
  CHECK(found.weight_n == Approx(weigh(40000)).epsilon(1e-12));
  CHECK(found.reactions_n[0] == Approx(weigh(40000) * 150 / 250).epsilon(1e-6));
  CHECK(found.reactions_n[1] == Approx(weigh(40000) * 100 / 250).epsilon(1e-6));
  CHECK(found.joints.empty());
  CHECK(found.worst_joint == -1);
}

TEST_CASE("a plate hanging from another loads the glue line by its weight over its length",
          "[structure]") {
  Design design;
  add_plate(design, {{0, 0, 0}, {200, 0, 0}, {200, 0, 100}, {0, 0, 100}});
  add_plate(design, {{0, 0, -300}, {200, 0, -300}, {200, 0, 0}, {0, 0, 0}});
  add_joint(design, 0, 1, {20, 0, 0}, {180, 0, 0});
  LoadCase load_case;
  load_case.supports = {{0, {10, 0, 100}}, {0, {190, 0, 100}}};
  load_case.glue.stiffness_n_per_mm2 = 2;
  load_case.glue.strength_n_per_mm = 0.5;
  const LoadResult found = measure_load(design, load_case);
  REQUIRE(found.fault.empty());
  const double per_mm = weigh(60000) / 160;
  CHECK(found.joints[0].peak_n_per_mm == Approx(per_mm).epsilon(1e-5));
  CHECK((found.joints[0].total_n - Vec3(0, 0, -weigh(60000))).norm() < 1e-5 * weigh(60000));
  CHECK(found.reserve == Approx(0.5 / per_mm).epsilon(1e-5));
  CHECK(found.deflection_mm == Approx(per_mm / 2).epsilon(0.01));  // force over stiffness
  CHECK(found.deflected_panel == 1);
  CHECK(sum_of(found.reactions_n) == Approx(found.weight_n).epsilon(1e-6));
}

TEST_CASE("a shelf between two walls rests half on each", "[structure]") {
  Design design;
  add_plate(design, {{0, 0, 0}, {0, 100, 0}, {0, 100, 300}, {0, 0, 300}});
  add_plate(design, {{400, 0, 0}, {400, 100, 0}, {400, 100, 300}, {400, 0, 300}});
  add_plate(design, {{0, 0, 150}, {400, 0, 150}, {400, 100, 150}, {0, 100, 150}});
  add_joint(design, 2, 0, {0, 0, 150}, {0, 100, 150});
  add_joint(design, 2, 1, {400, 0, 150}, {400, 100, 150});
  LoadCase load_case;
  load_case.hold = Hold::standing;
  for (const int wall : {0, 1})
    for (const double y : {0.0, 100.0})
      for (const double z : {0.0, 300.0})
        load_case.supports.push_back({wall, {wall * 400.0, y, z}});
  const LoadResult found = measure_load(design, load_case);
  REQUIRE(found.fault.empty());
  for (const JointForce& force : found.joints) {
    CHECK(std::abs(force.total_n.z()) == Approx(weigh(40000) / 2).epsilon(1e-4));
    CHECK(force.peak_n_per_mm >= weigh(40000) / 2 / 100 * (1 - 1e-4));
  }
  CHECK(sum_of(found.reactions_n) == Approx(found.weight_n).epsilon(1e-5));
}

TEST_CASE("forces on every panel of a hung dodecahedron are in balance", "[structure]") {
  const double tau = (1 + std::sqrt(5.0)) / 2;
  const Plates plates = make_polyhedron(make_point_group("I"), {0, 1, tau});
  const Design design = make_plate_design(plates, 500, {0});
  const auto bodies = find_bodies(design);
  for (const auto& copies : std::vector<std::vector<int>>{{2}, {2, 3}, {1, 2, 3, 4}}) {
    LoadCase load_case;
    try {
      load_case = make_load_case(design, Hold::hung, copies);
    } catch (const std::invalid_argument&) {
      continue;  // these happen to lie evenly round the centre
    }
    const LoadResult found = measure_load(design, load_case);
    INFO(found.fault);
    REQUIRE(found.fault.empty());
    CHECK(sum_of(found.reactions_n) == Approx(found.weight_n).epsilon(1e-6));
    std::vector<Vec3> sums(bodies.size(), Vec3::Zero());
    for (std::size_t i = 0; i < bodies.size(); ++i)
      sums[i] -=
          load_case.mass_kg_per_m2 * 1e-6 * bodies[i].area_mm2 * gravity_m_per_s2 * load_case.up;
    for (std::size_t s = 0; s < load_case.supports.size(); ++s)
      sums[static_cast<std::size_t>(load_case.supports[s].panel)] +=
          found.reactions_n[s] * load_case.up;
    for (const JointForce& force : found.joints) {
      const Joint& joint = design.joints[static_cast<std::size_t>(force.joint)];
      sums[static_cast<std::size_t>(joint.panels[0])] += force.total_n;
      sums[static_cast<std::size_t>(joint.panels[1])] -= force.total_n;
    }
    for (const Vec3& sum : sums) CHECK(sum.norm() < 1e-4 * found.weight_n);
    // Twice the board's mass: twice the forces and deflection, half the reserve.
    LoadCase heavy = load_case;
    heavy.mass_kg_per_m2 *= 2;
    const LoadResult twice = measure_load(design, heavy);
    CHECK(twice.deflection_mm == Approx(2 * found.deflection_mm).epsilon(1e-9));
    CHECK(twice.reserve == Approx(found.reserve / 2).epsilon(1e-9));
  }
}

TEST_CASE("standing on a face a solid stays, on an edge it tips", "[structure]") {
  const Plates cube = make_polyhedron(make_point_group("O"), {0, 0, 1});
  const Design design = make_plate_design(cube, 200, {});
  const auto bodies = find_bodies(design);
  const LoadCase on_face = make_load_case(design, Hold::standing, {3});
  CHECK(on_face.supports.size() == 4);
  CHECK((on_face.up + bodies[3].centroid_mm.normalized()).norm() < 1e-9);
  const LoadResult stays = measure_load(design, on_face);
  CHECK(stays.fault.empty());
  CHECK(sum_of(stays.reactions_n) == Approx(stays.weight_n).epsilon(1e-5));
  for (const double reaction : stays.reactions_n)
    CHECK(reaction == Approx(stays.weight_n / 4).epsilon(0.01));
  int beside = 0;
  while (bodies[static_cast<std::size_t>(beside)].centroid_mm.dot(
             bodies[3].centroid_mm.normalized()) > 1e-6 ||
         bodies[static_cast<std::size_t>(beside)].centroid_mm.dot(
             bodies[3].centroid_mm.normalized()) < -1e-6)
    ++beside;
  CHECK_THAT(measure_load(design, make_load_case(design, Hold::standing, {3, beside})).fault,
             Catch::Contains("tips over"));
  // Opposite faces: no up can be told.
  int opposite = 0;
  while (bodies[static_cast<std::size_t>(opposite)].centroid_mm.dot(bodies[3].centroid_mm) > -1)
    ++opposite;
  CHECK_THROWS_WITH(make_load_case(design, Hold::hung, {3, opposite}),
                    Catch::Contains("evenly round"));
}

TEST_CASE("what is not held says so", "[structure]") {
  Design design;
  add_plate(design, {{0, 0, 0}, {400, 0, 0}, {400, 0, 100}, {0, 0, 100}});
  LoadCase load_case;
  load_case.supports = {{0, {100, 0, 100}}};  // to the left of the centre
  CHECK_THAT(measure_load(design, load_case).fault, Catch::Contains("not held"));
  load_case.supports = {{0, {200, 0, 0}}};  // below it
  CHECK_THAT(measure_load(design, load_case).fault, Catch::Contains("turns over"));
  load_case.supports = {{1, {200, 0, 100}}};
  CHECK_THROWS_AS(measure_load(design, load_case), std::invalid_argument);
  load_case.supports.clear();
  CHECK_THROWS_AS(measure_load(design, load_case), std::invalid_argument);
  load_case.supports = {{0, {200, 0, 100}}};
  CHECK(measure_load(design, load_case).fault.empty());
  load_case.glue.strength_n_per_mm = std::nan("");
  CHECK_THROWS_WITH(measure_load(design, load_case), Catch::Contains("strength_n_per_mm"));
  CHECK_THROWS_WITH(make_load_case(design, Hold::hung, {7}), Catch::Contains("copy 7"));
  CHECK_THROWS_AS(make_load_case(design, Hold::hung, {}), std::invalid_argument);
}

TEST_CASE("a tube of four plates shears, and the motion says how", "[structure]") {
  const Plates cube = make_polyhedron(make_point_group("O"), {0, 0, 1});
  Vec3 first = Vec3::Zero();
  for (const int v : cube.faces[0]) first += cube.vertices[static_cast<std::size_t>(v)];
  int opposite = 0;
  for (std::size_t f = 0; f < cube.faces.size(); ++f) {
    Vec3 sum = Vec3::Zero();
    for (const int v : cube.faces[f]) sum += cube.vertices[static_cast<std::size_t>(v)];
    if (sum.dot(first) < -1) opposite = static_cast<int>(f);
  }
  const Design tube = make_plate_design(cube, 200, {0, opposite});
  const auto motions = find_free_motions(tube);
  REQUIRE(motions.size() == 1);
  const FreeMotion& motion = motions[0];
  // A parallelogram: all four folds turn alike.
  for (const double turn : motion.fold_turns_rad)
    CHECK(std::abs(turn) == Approx(std::abs(motion.fold_turns_rad[0])).epsilon(1e-9));
  CHECK(motion.reach_mm == Approx(0.1 * 200 * std::sqrt(3.0)).epsilon(1e-9));
  CHECK_THAT(motion.sentence, Catch::Contains("turn about their common fold by") &&
                                  Catch::Contains("4 of 4 folds turn"));
  // The joints hold to first order: half the motion parts them by a quarter as much.
  const auto parting = [&](double share) {
    double worst = 0;
    for (const Joint& joint : tube.joints)
      for (const Vec3& p : {joint.from_mm, joint.to_mm})
        worst = std::max(worst, (make_displacement(motion, joint.panels[0], share) * p -
                                 make_displacement(motion, joint.panels[1], share) * p)
                                    .norm());
    return worst;
  };
  CHECK(parting(1) > 0);
  CHECK(parting(0.5) == Approx(parting(1) / 4).epsilon(0.05));
  CHECK(parting(0.01) < 2e-4 * motion.reach_mm);
  CHECK(parting(0) < 1e-12);
  // No rigid part: momentum and spin vanish.
  Vec3 momentum = Vec3::Zero(), spin = Vec3::Zero();
  const auto bodies = find_bodies(tube);
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    const Mat3& second = bodies[i].second_moments_mm4;
    momentum += bodies[i].area_mm2 * motion.shifts_mm[i];
    spin += bodies[i].area_mm2 * bodies[i].centroid_mm.cross(motion.shifts_mm[i]) +
            (second.trace() * Mat3::Identity() - second) * motion.turns_rad[i];
  }
  CHECK(momentum.norm() < 1e-3);
  CHECK(spin.norm() < 1);
  // Hung with free folds it is not held unless by luck; with stiff folds it is.
  LoadCase load_case = make_load_case(tube, Hold::standing, {1});
  load_case.glue.fold_nmm_per_mm_rad = 5;
  const LoadResult stiff = measure_load(tube, load_case);
  CHECK(stiff.fault.empty());
  load_case.glue.fold_nmm_per_mm_rad = 1;
  CHECK(measure_load(tube, load_case).deflection_mm >= 0.999 * stiff.deflection_mm);
}

TEST_CASE("a rigid design has no free motion, a ring of panels has as many as it should",
          "[structure]") {
  const Plates octahedron = make_polyhedron(make_point_group("O"), {1, 1, 1});
  CHECK(find_free_motions(make_plate_design(octahedron, 100, {})).empty());
  const auto adjacent = find_adjacent_faces(octahedron);
  const Design open = make_plate_design(octahedron, 100, {adjacent[0].first, adjacent[0].second});
  CHECK(find_free_motions(open).size() ==
        1);  // tests/sources.md 3: two edge-adjacent faces removed: 1
  CHECK(find_free_motions(open, 0).empty());
}
