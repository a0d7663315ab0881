#include "engine/shape/openness.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "engine/symmetry/point_group.h"
#include "tests/support/draws.h"

using namespace sixtyfold;

namespace {

// Every copy's triangle fan against random rays, one after another: from points of the disc abeam
// of the centre.
double measure_openness_slowly(const std::vector<Mat3>& copies, const Frame& frame,
                               const Polygon& outline, int rays) {
  RandomStream random(31, Purpose::test, 4);
  double radius = 0;
  for (const Vec2& v : outline) radius = std::max(radius, frame.to_space(v).norm());
  int open = 0;
  for (int i = 0; i < rays; ++i) {
    const Vec3 ray = test::draw_direction(random);
    const Vec3 right = ray.unitOrthogonal(), up = ray.cross(right);
    const double turn = random.uniform(0, 2 * pi);
    const Vec3 start = farthest_aside * radius * std::sqrt(random.uniform(0, 1)) *
                       (std::cos(turn) * right + std::sin(turn) * up);
    bool blocked = false;
    for (const Mat3& copy : copies) {
      int parity = 0;  // of a fan of signed triangles: even-odd
      const Vec3 normal = copy * frame.normal;
      const bool ahead = normal.dot(copy * frame.origin - start) / normal.dot(ray) > 0;
      const Vec3 a = copy * frame.to_space(outline[0]) - start;
      for (std::size_t k = 1; k + 1 < outline.size(); ++k) {
        const Vec3 b = copy * frame.to_space(outline[k]) - start;
        const Vec3 c = copy * frame.to_space(outline[k + 1]) - start;
        const double u = ray.dot(a.cross(b)), v = ray.dot(b.cross(c)), w = ray.dot(c.cross(a));
        const bool inside = (u > 0 && v > 0 && w > 0) || (u < 0 && v < 0 && w < 0);
        if (inside && ahead) parity ^= 1;
      }
      blocked = blocked || parity;
    }
    open += !blocked;
  }
  return double(open) / rays;
}

}  // namespace

TEST_CASE("a closed dodecahedron lets no light through", "[shape][openness]") {
  // Fivefold axes of I lie along (0, 1, golden ratio). Inradius 1: circumradius of a face is
  // sqrt(1.258409^2 - 1), from the vertex radius in Coxeter 1973, Table I.
  const PointGroup group = make_point_group("I");
  const double golden = (1 + std::sqrt(5.0)) / 2;
  const Frame frame = make_frame(Vec3(0, 1, golden), 1);
  // A vertex of the face: the threefold axis (1, 1, 1) at the vertex radius, or one of its images.
  double best = -1;
  Vec3 corner = Vec3::Zero();
  for (const Mat3& g : group.elements) {
    const Vec3 v = g * Vec3(1, 1, 1).normalized();
    if (v.dot(frame.normal) > best) {
      best = v.dot(frame.normal);
      corner = v / v.dot(frame.normal);
    }
  }
  CHECK(corner.norm() == Approx(1.258409).epsilon(1e-6));
  const Vec2 first = frame.to_plane(corner);
  Polygon face;
  for (int i = 0; i < 5; ++i)
    face.push_back((1 + 1e-9) * (Eigen::Rotation2Dd(2 * pi * i / 5) * first));
  CHECK(measure_openness(group.elements, {frame, face}, 2000) == 0);
}

TEST_CASE("seen from the centre six squares leave the exact solid angle open",
          "[shape][openness]") {
  // A square of half-side a at distance 1 covers 4 asin(a^2 / (1 + a^2)) steradians: the
  // pyramid's solid angle (Van Oosterom and Strackee 1983 gives it for two triangles).
  const PointGroup group = make_point_group("O");
  const Frame frame = make_frame(Vec3::UnitX(), 1);
  for (const double a : {0.2, 0.5, 0.8, 0.95}) {
    const Polygon square{{-a, -a}, {a, -a}, {a, a}, {-a, a}};
    const double expected = 1 - 6 * 4 * std::asin(a * a / (1 + a * a)) / (4 * pi);
    const auto from_centre = [&](const Shade& panel, int rays) {
      const ShadeOrbit orbit{group.elements, panel};
      return measure_openness(std::span(&orbit, 1), make_central_rays(rays));
    };
    CHECK(from_centre({frame, square}, 4096) == Approx(expected).margin(0.006));
    CHECK(from_centre({frame, square}, 128) == Approx(expected).margin(0.04));
    const std::vector<Polygon> window{square};
    const Polygon whole{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
    CHECK(from_centre({frame, whole, window}, 4096) == Approx(1 - expected).margin(0.006));
  }
}

TEST_CASE("openness agrees with random rays", "[shape][openness]") {
  RandomStream random(32, Purpose::test, 4);
  for (const char* symbol : {"I", "O", "T", "D5", "C6"}) {
    const PointGroup group = make_point_group(symbol);
    for (int trial = 0; trial < 3; ++trial) {
      const OutlineFamily& family = outline_families()[random.below(outline_families().size())];
      const std::vector<double> values = test::draw_values(family.parameters, random);
      const Polygon outline = family.draw(values);
      const Frame frame =
          make_frame(test::draw_direction(random), trial == 0 ? 0 : random.uniform(0.3, 3));
      const double slow = measure_openness_slowly(group.elements, frame, outline, 4000);
      CHECK(measure_openness(group.elements, {frame, outline}, 4096) == Approx(slow).margin(0.035));
    }
  }
}

TEST_CASE("three discs through the centre hide what the mean chord says", "[shape][openness]") {
  // Three great discs at right angles. A ray of direction r that starts at p abeam of the centre
  // meets the disc with normal x inside the ball unless p_x and r_x have the same sign or it leaves
  // the ball first: counted here on a fine grid of all r and p, from the formulas of the sphere.
  const PointGroup group = make_point_group("O");
  const Frame frame = make_frame(Vec3::UnitX(), 0);
  Polygon disc;
  for (int i = 0; i < 200; ++i) disc.emplace_back(std::cos(pi * i / 100), std::sin(pi * i / 100));
  int open = 0, all = 0;
  for (int i = 0; i < 40; ++i)
    for (int j = 0; j < 40; ++j)
      for (int k = 0; k < 20; ++k)
        for (int m = 0; m < 40; ++m) {
          const double height = (2 * i + 1) / 40.0 - 1, along = std::sqrt(1 - height * height);
          const double turn = 2 * pi * (j + 0.3) / 40, about = 2 * pi * (m + 0.5) / 40;
          const Vec3 ray(along * std::cos(turn), along * std::sin(turn), height);
          const Vec3 right = ray.unitOrthogonal();
          const Vec3 start = farthest_aside * std::sqrt((k + 0.5) / 20) *
                             (std::cos(about) * right + std::sin(about) * ray.cross(right));
          const double leaves = std::sqrt(1 - start.squaredNorm());
          bool blocked = false;
          for (int axis = 0; axis < 3; ++axis) {
            const double reach = -start[axis] / ray[axis];
            blocked = blocked || (reach > 0 && reach < leaves);
          }
          open += !blocked;
          ++all;
        }
  const double expected = double(open) / all;
  CHECK(expected < 0.6);
  CHECK(measure_openness(group.elements, {frame, disc}, 4096) == Approx(expected).margin(0.01));
  CHECK(measure_openness(group.elements, {frame, disc}) == Approx(expected).margin(0.03));
}

TEST_CASE(
    "a plane through the centre hides as much as one close by, and a larger panel never opens",
    "[shape][openness]") {
  const PointGroup group = make_point_group("T");
  Polygon outline{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  const auto measure = [&](double distance) {
    return measure_openness(group.elements, {make_frame(Vec3(1, 2, 3), distance), outline}, 4096);
  };
  CHECK(measure(0) < 0.9);
  CHECK(measure(1e-6) == Approx(measure(0)).margin(1e-3));
  CHECK(measure(0.02) == Approx(measure(0)).margin(0.02));
  double last = 1;
  for (int i = 0; i < 6; ++i) {
    const double now =
        measure_openness(group.elements, {make_frame(Vec3(1, 2, 3), 2), outline}, 4096);
    CHECK(now <= last + 0.02);  // the starts move with the radius
    last = now;
    for (Vec2& v : outline) v *= 1.4;
  }
  CHECK(last < 0.5);
}
