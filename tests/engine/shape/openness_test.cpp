#include "engine/shape/openness.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "engine/random.h"
#include "engine/shape/outline_family.h"
#include "engine/symmetry/point_group.h"

using namespace sixtyfold;

namespace {

// Every copy's triangle fan against random rays, one after another.
double measure_openness_slowly(const std::vector<Mat3>& copies, const Frame& frame,
                               const Polygon& outline, int rays) {
  RandomStream random(31, Purpose::test, 4);
  int open = 0;
  for (int i = 0; i < rays; ++i) {
    const Vec3 ray = Vec3(random.normal(), random.normal(), random.normal()).normalized();
    bool blocked = false;
    for (const Mat3& copy : copies) {
      int parity = 0;  // of a fan of signed triangles: even-odd
      const Vec3 a = copy * frame.to_space(outline[0]);
      for (std::size_t k = 1; k + 1 < outline.size(); ++k) {
        const Vec3 b = copy * frame.to_space(outline[k]), c = copy * frame.to_space(outline[k + 1]);
        const double u = ray.dot(a.cross(b)), v = ray.dot(b.cross(c)), w = ray.dot(c.cross(a));
        const bool inside = (u > 0 && v > 0 && w > 0) || (u < 0 && v < 0 && w < 0);
        if (inside && ray.dot(a + b + c) > 0) parity ^= 1;
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

TEST_CASE("six squares leave the exact solid angle open", "[shape][openness]") {
  // A square of half-side a at distance 1 covers 4 asin(a^2 / (1 + a^2)) steradians: the
  // pyramid's solid angle (Van Oosterom and Strackee 1983 gives it for two triangles).
  const PointGroup group = make_point_group("O");
  const Frame frame = make_frame(Vec3::UnitX(), 1);
  for (const double a : {0.2, 0.5, 0.8, 0.95}) {
    const Polygon square{{-a, -a}, {a, -a}, {a, a}, {-a, a}};
    const double expected = 1 - 6 * 4 * std::asin(a * a / (1 + a * a)) / (4 * pi);
    CHECK(measure_openness(group.elements, {frame, square}, 4096) ==
          Approx(expected).margin(0.006));
    CHECK(measure_openness(group.elements, {frame, square}) == Approx(expected).margin(0.04));
    const std::vector<Polygon> window{square};
    const Polygon whole{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
    CHECK(measure_openness(group.elements, {frame, whole, window}, 4096) ==
          Approx(1 - expected).margin(0.006));
  }
}

TEST_CASE("openness agrees with random rays", "[shape][openness]") {
  RandomStream random(32, Purpose::test, 4);
  for (const char* symbol : {"I", "O", "T", "D5", "C6"}) {
    const PointGroup group = make_point_group(symbol);
    for (int trial = 0; trial < 3; ++trial) {
      const OutlineFamily& family = outline_families()[random.below(outline_families().size())];
      std::vector<double> values;
      for (const Parameter& p : family.parameters) values.push_back(random.uniform(p.low, p.high));
      const Polygon outline = family.draw(values);
      const Frame frame =
          make_frame(Vec3(random.normal(), random.normal(), random.normal()).normalized(),
                     random.uniform(0.3, 3));
      const double slow = measure_openness_slowly(group.elements, frame, outline, 4000);
      CHECK(measure_openness(group.elements, {frame, outline}, 4096) == Approx(slow).margin(0.035));
    }
  }
}

TEST_CASE("a plane through the centre blocks nothing, a larger panel never opens",
          "[shape][openness]") {
  const PointGroup group = make_point_group("T");
  Polygon outline{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  CHECK(measure_openness(group.elements, {make_frame(Vec3(1, 2, 3), 0), outline}) == 1);
  double last = 1;
  for (int i = 0; i < 6; ++i) {
    const double now =
        measure_openness(group.elements, {make_frame(Vec3(1, 2, 3), 2), outline}, 512);
    CHECK(now <= last);
    last = now;
    for (Vec2& v : outline) v *= 1.4;
  }
  CHECK(last < 0.5);
}
