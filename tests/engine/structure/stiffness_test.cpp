#include "engine/structure/stiffness.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/structure/connectivity.h"
#include "tests/support/plates.h"

using namespace sixtyfold;

namespace {

const double tau = (1 + std::sqrt(5.0)) / 2;

void check_freedoms(const Structure& structure, int freedoms, int self_stresses) {
  const Stiffness found = measure_stiffness(structure);
  CHECK(found.pieces == 1);
  CHECK(found.internal_dof == freedoms);
  CHECK(found.self_stresses == self_stresses);
  CHECK(count_freedoms_by_screws(structure) == freedoms);
  // The rank must not rest on a hair: the gap is at least five powers of ten.
  CHECK(found.largest_free < 1e-13);
  CHECK(found.smallest_held > 1e-8);
  // Maxwell 1864, Calladine 1978; hinge form Guest and Fowler 2005.
  const int panels = static_cast<int>(structure.bodies.size());
  const int joints = static_cast<int>(structure.joints.size());
  CHECK(found.internal_dof - found.self_stresses == 6 * (panels - 1) - 5 * joints);
  if (freedoms > 0)
    CHECK(found.value == 0);
  else
    CHECK(found.value > 0);
}

Vec3 make_random_vector(RandomStream& random) {
  return {random.normal(), random.normal(), random.normal()};
}

HingeLine make_random_line(RandomStream& random) {
  return {make_random_vector(random), make_random_vector(random)};
}

Vec3 turn_about_z(const Vec3& v) { return {-v.x(), -v.y(), v.z()}; }
Vec3 mirror_in_z(const Vec3& v) { return {v.x(), v.y(), -v.z()}; }

/// Triangles on the six vertices a, a', b, b', c, c' of an octahedron; opposite ones not joined.
Plates make_octahedron(const std::vector<Vec3>& vertices) {
  Plates plates;
  plates.vertices = vertices;
  for (int a : {0, 1})
    for (int b : {2, 3})
      for (int c : {4, 5}) plates.faces.push_back({a, b, c});
  return plates;
}

}  // namespace

// Whole solids: Dehn 1916 (convex hinged polyhedra are infinitesimally rigid). Faces removed: own
// computation (tests/sources.md 3), here twice over: by this engine and by the screw equations.
TEST_CASE("hinged polyhedra are rigid, and lose rigidity with faces as tabulated", "[structure]") {
  struct Other {
    double angle_deg;
    int m, s;
  };
  struct Row {
    const char* symbol;
    Vec3 normal;
    int faces, hinges, whole_s, minus_one_s, adjacent_m, adjacent_s;
    std::vector<Other> others;
  };
  const std::vector<Row> rows = {
      {"T", {1, 1, 1}, 4, 6, 12, 3, 1, 0, {}},
      {"O", {0, 0, 1}, 6, 12, 30, 16, 0, 7, {{180, 1, 3}}},
      {"O", {1, 1, 1}, 8, 12, 18, 9, 1, 6, {{109.47, 3, 3}, {180, 0, 0}}},
      {"I", {0, 1, tau}, 12, 30, 84, 65, 0, 51, {{116.57, 0, 46}, {180, 0, 46}}},
      {"I",
       {1, 1, 1},
       20,
       30,
       36,
       27,
       1,
       24,
       {{70.53, 3, 21}, {109.47, 0, 18}, {138.19, 0, 18}, {180, 0, 18}}},
      {"O", {1, 1, 0}, 12, 24, 54, 40, 0, 31, {{90, 0, 26}, {120, 0, 26}, {180, 0, 26}}},
      {"I",
       {0, 0, 1},
       30,
       60,
       126,
       112,
       0,
       103,
       {{60, 0, 98}, {72, 0, 98}, {90, 0, 98}, {120, 0, 98}, {180, 0, 98}}},
  };
  for (const Row& row : rows) {
    INFO(row.symbol << ' ' << row.faces << " faces");
    const Plates plates = make_polyhedron(make_point_group(row.symbol), row.normal);
    REQUIRE(static_cast<int>(plates.faces.size()) == row.faces);
    REQUIRE(static_cast<int>(find_adjacent_faces(plates).size()) == row.hinges);
    check_freedoms(make_hinged(plates), 0, row.whole_s);
    check_freedoms(make_hinged(plates, {0}), 0, row.minus_one_s);
    const auto adjacent = find_adjacent_faces(plates);
    check_freedoms(make_hinged(plates, {adjacent[0].first, adjacent[0].second}), row.adjacent_m,
                   row.adjacent_s);
    const auto centre_of = [&](int f) {
      Vec3 sum = Vec3::Zero();
      for (const int v : plates.faces[static_cast<std::size_t>(f)])
        sum += plates.vertices[static_cast<std::size_t>(v)];
      return Vec3(sum.normalized());
    };
    for (const Other& other : row.others) {
      bool found = false;
      for (int f = 1; f < row.faces && !found; ++f) {
        const double angle =
            to_degrees(std::acos(std::clamp(centre_of(0).dot(centre_of(f)), -1.0, 1.0)));
        const bool touching = std::any_of(adjacent.begin(), adjacent.end(), [&](const auto& pair) {
          return std::minmax(pair.first, pair.second) ==
                 std::pair<const int&, const int&>(std::minmax(0, f));
        });
        if (touching || std::abs(angle - other.angle_deg) > 0.01) continue;
        INFO("angle " << angle);
        check_freedoms(make_hinged(plates, {0, f}), other.m, other.s);
        found = true;
      }
      CHECK(found);
    }
  }
}

// n generic hinges: Tay 1984, Gruebler-Kutzbach; flat panels: Katoh and Tanigawa 2011; parallel or
// concurrent hinges: planar and spherical linkages, n - 3; all in one plane: screw rank 3, and 2
// when concurrent as well (own).
TEST_CASE("rings of hinged bodies have the freedoms of the textbooks", "[structure]") {
  RandomStream random(11, Purpose::test, 0);
  for (int n = 3; n <= 10; ++n) {
    INFO(n << " hinges");
    std::vector<HingeLine> skew, flat, parallel, concurrent, planar, fan;
    std::vector<Vec3> corners;
    for (int k = 0; k < n; ++k) corners.push_back(make_random_vector(random));
    for (int k = 0; k < n; ++k) {
      skew.push_back(make_random_line(random));
      const auto i = static_cast<std::size_t>(k), j = static_cast<std::size_t>((k + 1) % n);
      flat.push_back({(corners[i] + corners[j]) / 2, corners[j] - corners[i]});
      parallel.push_back({make_random_vector(random), Vec3::UnitZ()});
      const Vec3 direction = make_random_vector(random).normalized();
      concurrent.push_back({2 * direction, direction});
      Vec3 point = make_random_vector(random), along = make_random_vector(random);
      point.z() = along.z() = 0;
      planar.push_back({point, along});
      fan.push_back({along, along});
    }
    check_freedoms(make_ring(skew), std::max(0, n - 6), std::max(0, 6 - n));
    // A triangle's three lines lie in one plane.
    check_freedoms(make_ring(flat), n == 3 ? 0 : std::max(0, n - 6),
                   n == 3 ? 3 : std::max(0, 6 - n));
    check_freedoms(make_ring(parallel), n - 3, 3);
    check_freedoms(make_ring(concurrent), n - 3, 3);
    check_freedoms(make_ring(planar), n - 3, 3);
    check_freedoms(make_ring(fan), n - 2, 4);
  }
}

// Bennett 1903, 1914: links a, b, a, b, twists alpha, beta, alpha, beta, a/sin alpha = b/sin beta.
TEST_CASE("Bennett's four-bar moves though counting says it is held twice", "[structure]") {
  const double alpha = to_radians(40), beta = to_radians(110);
  const double lengths[] = {1, std::sin(beta) / std::sin(alpha)}, twists[] = {alpha, beta};
  const double first = to_radians(63.025358), second = to_radians(139.990106);
  CHECK(std::tan(first / 2) * std::tan(second / 2) ==
        Approx(std::sin((beta + alpha) / 2) / std::sin((beta - alpha) / 2)).epsilon(1e-7));
  const double turns[] = {first, second, -first, -second};
  Eigen::Isometry3d at = Eigen::Isometry3d::Identity();
  std::vector<HingeLine> hinges;
  for (int k = 0; k < 4; ++k) {
    hinges.push_back({at.translation(), at.linear().col(2)});
    at = at * Eigen::AngleAxisd(turns[k], Vec3::UnitZ()) *
         Eigen::Translation3d(lengths[k % 2], 0, 0) *
         Eigen::AngleAxisd(twists[k % 2], Vec3::UnitX());
  }
  CHECK((at.matrix() - Eigen::Matrix4d::Identity()).cwiseAbs().maxCoeff() < 1e-7);
  const Stiffness found = measure_stiffness(make_ring(hinges));
  CHECK(found.internal_dof == 1);  // six digits of the angles leave a strain of about 1e-8
  CHECK(found.self_stresses == 3);
  CHECK(found.value == 0);
}

// Bricard 1927 (line- and plane-symmetric six-bars); half-turn rings: counting by symmetry block.
TEST_CASE("symmetric six-bars move", "[structure]") {
  RandomStream random(12, Purpose::test, 0);
  for (int trial = 0; trial < 5; ++trial) {
    for (const auto& [half, m, s] : {std::tuple{2, 0, 2}, {3, 1, 1}, {4, 2, 0}, {5, 4, 0}}) {
      std::vector<HingeLine> hinges;
      for (int k = 0; k < half; ++k) hinges.push_back(make_random_line(random));
      for (int k = 0; k < half; ++k) {
        const HingeLine line = hinges[static_cast<std::size_t>(k)];
        hinges.push_back({turn_about_z(line.point), turn_about_z(line.direction)});
      }
      check_freedoms(make_ring(hinges), m, s);
    }
    for (const bool in_the_mirror : {true, false}) {
      std::vector<HingeLine> hinges(6);
      for (const std::size_t k : {0u, 1u, 2u, 3u}) hinges[k] = make_random_line(random);
      for (const std::size_t k : {0u, 3u}) {
        hinges[k].point.z() = 0;
        if (in_the_mirror)
          hinges[k].direction.z() = 0;
        else
          hinges[k].direction = Vec3::UnitZ();
      }
      for (const std::size_t k : {1u, 2u})
        hinges[6 - k] = {mirror_in_z(hinges[k].point), mirror_in_z(hinges[k].direction)};
      check_freedoms(make_ring(hinges), 1, 1);
    }
  }
}

// Fowler and Guest 2005 (Proc. R. Soc. A 461): N - 5 mechanisms and one self-stress.
TEST_CASE("rotating rings of tetrahedra have N - 5 freedoms", "[structure]") {
  for (int n = 6; n <= 14; n += 2) {
    INFO(n);
    const double step = 2 * pi / n;
    std::vector<HingeLine> hinges;
    for (int k = 0; k < n; ++k) {
      // Hinges stand upright and lie radially by turns; each link is perpendicular to both.
      const Vec3 out(std::cos(k * step), std::sin(k * step), 0);
      if (k % 2 == 0)
        hinges.push_back({out, Vec3::UnitZ()});
      else
        hinges.push_back({std::cos(step) * out, out});
    }
    check_freedoms(make_ring(hinges), n - 5, 1);
  }
}

// Bricard 1897; Schoenhardt 1928, Wunderlich 1965; Jessen 1967.
TEST_CASE("special polyhedra of triangles move", "[structure]") {
  RandomStream random(13, Purpose::test, 0);
  const auto point = [&random] { return make_random_vector(random); };
  for (int trial = 0; trial < 5; ++trial) {
    const Vec3 a = point(), b = point(), c = point(), d = point();
    Vec3 e = point(), f = point();
    check_freedoms(make_hinged(make_octahedron({a, b, c, d, e, f})), 0, 18);
    check_freedoms(
        make_hinged(make_octahedron({a, turn_about_z(a), b, turn_about_z(b), c, turn_about_z(c)})),
        1, 19);
    e.z() = f.z() = 0;
    check_freedoms(make_hinged(make_octahedron({a, mirror_in_z(a), b, mirror_in_z(b), e, f})), 1,
                   19);
  }
  // Antiprism with the bottom triangle turned by the twist: vertex k at the bottom tied to top
  // vertices k and k + 1, that is to those at +twist and +twist + 120 degrees.
  for (const auto& [twist, m] :
       {std::pair{30.0, 1}, {-60.0, 0}, {0.0, 0}, {60.0, 0}, {-30.0, 0}, {-120.0, 0}}) {
    INFO("twist " << twist);
    Plates plates;
    for (int k = 0; k < 3; ++k)
      plates.vertices.push_back({std::cos(2 * pi * k / 3), std::sin(2 * pi * k / 3), 0});
    for (int k = 0; k < 3; ++k) {
      const double angle = to_radians(twist + 120 * k);
      plates.vertices.push_back({std::cos(angle), std::sin(angle), 1.3});
    }
    plates.faces = {{0, 1, 2}, {3, 4, 5}};
    for (int k = 0; k < 3; ++k) {
      plates.faces.push_back({k, 3 + k, 3 + (k + 1) % 3});
      plates.faces.push_back({k, (k + 1) % 3, 3 + (k + 1) % 3});
    }
    check_freedoms(make_hinged(plates), m, 18 + m);
  }
  Plates jessen;
  for (int k = 0; k < 3; ++k)
    for (const double s : {2.0, -2.0})
      for (const double t : {1.0, -1.0}) {
        Vec3 v;
        v[k] = s, v[(k + 1) % 3] = t, v[(k + 2) % 3] = 0;
        jessen.vertices.push_back(v);
      }
  const auto squared = [&](int i, int j) {
    return (jessen.vertices[static_cast<std::size_t>(i)] -
            jessen.vertices[static_cast<std::size_t>(j)])
        .squaredNorm();
  };
  for (int i = 0; i < 12; ++i)
    for (int j = i + 1; j < 12; ++j)
      for (int k = j + 1; k < 12; ++k) {
        int shorts = 0, longs = 0;
        for (const double d : {squared(i, j), squared(j, k), squared(k, i)}) {
          shorts += std::abs(d - 6) < 1e-9;
          longs += std::abs(d - 16) < 1e-9;
        }
        if (shorts == 3 || (shorts == 2 && longs == 1)) jessen.faces.push_back({i, j, k});
      }
  REQUIRE(jessen.faces.size() == 20);
  check_freedoms(make_hinged(jessen), 1, 37);
}

TEST_CASE("stiffness obeys its laws", "[structure]") {
  RandomStream random(14, Purpose::test, 0);
  const Structure whole = make_hinged(make_polyhedron(make_point_group("I"), {0, 1, tau}));
  const Stiffness plain = measure_stiffness(whole);
  REQUIRE(plain.value > 0);

  SECTION("size and placing change nothing") {
    const Mat3 turn =
        Eigen::AngleAxisd(1.1, make_random_vector(random).normalized()).toRotationMatrix();
    const double scale = 731;
    const Vec3 shift(300, -200, 100);
    Structure moved = whole;
    for (PanelBody& body : moved.bodies) {
      body = make_image(body, turn);
      body.area_mm2 *= scale * scale;
      body.centroid_mm = scale * body.centroid_mm + shift;
      body.second_moments_mm4 *= std::pow(scale, 4);
    }
    for (Joint& joint : moved.joints)
      for (Vec3* p : {&joint.from_mm, &joint.to_mm}) *p = scale * (turn * *p) + shift;
    moved.radius_mm *= scale;
    CHECK(measure_stiffness(moved).value == Approx(plain.value).epsilon(1e-9));
    CHECK(measure_stiffness(moved).rank == plain.rank);
  }
  SECTION("the order of panels and joints, and the ends of a joint, change nothing") {
    Structure other = whole;
    const int n = static_cast<int>(whole.bodies.size());
    std::reverse(other.bodies.begin(), other.bodies.end());
    std::reverse(other.joints.begin(), other.joints.end());
    for (Joint& joint : other.joints) {
      for (int& panel : joint.panels) panel = n - 1 - panel;
      std::swap(joint.panels[0], joint.panels[1]);
      std::swap(joint.from_mm, joint.to_mm);
    }
    CHECK(measure_stiffness(other).value == Approx(plain.value).epsilon(1e-9));
  }
  SECTION("a joint more never makes it softer or freer") {
    Structure growing = whole;
    growing.joints.clear();
    double before = 0;
    int rank = 0;
    std::vector<Joint> joints = whole.joints;
    for (std::size_t i = joints.size(); i > 1; --i)
      std::swap(joints[i - 1], joints[random.below(i)]);
    for (const Joint& joint : joints) {
      growing.joints.push_back(joint);
      const Stiffness now = measure_stiffness(growing);
      CHECK(now.value >= before * (1 - 1e-12));
      CHECK(now.rank >= rank);
      if (now.internal_dof > 0 || now.pieces > 1) CHECK(now.value == 0);
      before = now.value, rank = now.rank;
    }
    CHECK(before == Approx(plain.value).epsilon(1e-12));
  }
  SECTION("cutting a joint in two halves changes nothing") {
    Structure halved = whole;
    for (std::size_t k = 0; k < whole.joints.size(); ++k) {
      Joint second = halved.joints[k];
      halved.joints[k].to_mm = second.from_mm = (second.from_mm + second.to_mm) / 2;
      halved.joints.push_back(second);
    }
    CHECK(measure_stiffness(halved).value == Approx(plain.value).epsilon(1e-9));
  }
  SECTION("stiff folds stiffen, but not a mechanism") {
    Structure stiff = whole;
    stiff.fold_length_mm = 0.05;
    CHECK(measure_stiffness(stiff).value > plain.value);
    CHECK(measure_stiffness(stiff).rank == plain.rank);
    Structure box = make_hinged(make_polyhedron(make_point_group("O"), {0, 0, 1}), {0, 1});
    box.fold_length_mm = 0.05;
    CHECK(find_stiffness_spectrum(box)[5] < 1e-12);
    CHECK(find_stiffness_spectrum(box)[6] > 1e-6);
    CHECK(measure_stiffness(box).internal_dof == 1);  // a tube of four plates
    CHECK(measure_stiffness(box).value == 0);
  }
  SECTION("two pieces and a lone panel are not stiff") {
    Structure two = whole;
    for (const PanelBody& body : whole.bodies) two.bodies.push_back(body);
    for (Joint joint : whole.joints) {
      for (int& panel : joint.panels) panel += 12;
      two.joints.push_back(joint);
    }
    const Stiffness found = measure_stiffness(two);
    CHECK(found.pieces == 2);
    CHECK(found.internal_dof == 0);
    CHECK(found.value == 0);
    Structure one;
    one.bodies = {whole.bodies[0]};
    one.radius_mm = 1;
    CHECK(measure_stiffness(one).internal_dof == 0);
    CHECK(measure_stiffness(one).value == 0);
    CHECK(measure_stiffness(Structure{}).pieces == 0);
  }
}

// Two equal unit squares sharing an edge, folded flat: of the energy integral, worked by hand.
TEST_CASE("a pair of squares has the spectrum worked by hand", "[structure]") {
  Structure pair;
  pair.bodies = {make_body({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}}),
                 make_body({{-1, 0, 0}, {0, 0, 0}, {0, 1, 0}, {-1, 1, 0}})};
  Joint joint;
  joint.panels[1] = 1;
  joint.to_mm = {0, 1, 0};
  pair.joints = {joint};
  pair.radius_mm = 1;
  const auto spectrum = find_stiffness_spectrum(pair);
  // Values of K x = lambda M x with M = mass 1/2 (total area 2), over N R = 2. Sliding along the
  // edge with in-plane turns: antisymmetric turn w and shift v about centroids half a side away.
  //   opening in the plane: jump at the line 2 v + ..; see each formula.
  std::vector<double> expected;
  for (int k = 0; k < 7; ++k) expected.push_back(0);  // six rigid, one fold
  // pulling apart along x: u = +-v: jump 2v, energy 4 v^2, mass v^2 -> 4 / 2.
  expected.push_back(2);
  // turning opposite ways in the plane, +-w: jump along x is 2 w (y - 1/2), energy 4 w^2/12;
  // mass w^2/6 -> 2, / 2 = 1; no jump along y (both sides move alike).
  expected.push_back(1);
  // sliding along y, +-v, with both turning alike by w: jump = 2 v - w (arm 1/2 on either side);
  // energy (2 v - w)^2, mass v^2 + w^2/6: largest value 4 + 6 = 10 -> 5, the other is rigid.
  expected.push_back(5);
  // lifting along z, +-v, both turning about y by w: the same with inertia 1/12: 4 + 12 = 16 -> 8.
  expected.push_back(8);
  // twisting about x, +-w: jump 2 w (y - 1/2), energy w^2/3, mass w^2/12 -> 4 -> 2.
  expected.push_back(2);
  std::sort(expected.begin(), expected.end());
  REQUIRE(spectrum.size() == 12);
  for (std::size_t i = 0; i < 12; ++i) CHECK(spectrum[i] == Approx(expected[i]).margin(1e-13));
}

// Own computation (tests/sources.md 3): planes at a generic normal, hinges where they meet, for
// generator pairs that connect.
TEST_CASE("symmetric orbits of planes are rigid with the tabulated self-stress", "[structure]") {
  struct Row {
    const char* symbol;
    int hinges, self_stresses;
  };
  for (const Row& row : {Row{"T", 18, 24}, Row{"T", 24, 54}, Row{"O", 36, 42}, Row{"O", 48, 102},
                         Row{"I", 90, 96}, Row{"I", 120, 246}}) {
    INFO(row.symbol << ' ' << row.hinges);
    const PointGroup group = make_point_group(row.symbol);
    const int n = group.order();
    int tried = 0;
    for (int a = 1; a < n && tried < 2; ++a)
      for (int b = a + 1; b < n && tried < 2; ++b) {
        if (b == group.invert(a) || (!group.is_involution(a) && group.invert(a) < a)) continue;
        const Vec3 normal = Vec3(0.31, 0.52, 1.07).normalized();
        Structure structure;
        structure.radius_mm = 1.5;
        const Frame frame = make_frame(normal, 1);
        const PanelBody body =
            measure_body(frame, {{-0.3, -0.2}, {0.4, -0.3}, {0.5, 0.3}, {-0.1, 0.4}});
        for (const Mat3& g : group.elements) structure.bodies.push_back(make_image(body, g));
        for (const int s : {a, b}) {
          const Vec3 other = group.elements[static_cast<std::size_t>(s)] * normal;
          const Vec3 along = normal.cross(other).normalized();
          const Vec3 nearest = (normal + other) / (1 + normal.dot(other));
          for (int h = 0; h < n; ++h) {
            const int mate = group.multiply(h, s);
            if (group.is_involution(s) && mate < h) continue;
            Joint joint;
            joint.panels[0] = h, joint.panels[1] = mate;
            const Mat3& m = group.elements[static_cast<std::size_t>(h)];
            joint.from_mm = m * (nearest - 0.2 * along), joint.to_mm = m * (nearest + 0.25 * along);
            structure.joints.push_back(joint);
          }
        }
        if (static_cast<int>(structure.joints.size()) != row.hinges ||
            count_pieces(n, structure.joints) != 1)
          continue;
        ++tried;
        const Stiffness found = measure_stiffness(structure);
        CHECK(found.internal_dof == 0);
        CHECK(found.self_stresses == row.self_stresses);
        CHECK(found.value > 0);
        CHECK(found.smallest_held > 1e-9);
      }
    CHECK(tried == 2);
  }
}
