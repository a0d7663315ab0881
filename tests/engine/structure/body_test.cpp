#include "engine/structure/body.h"

#include <catch2/catch.hpp>

#include "engine/random.h"
#include "engine/structure/connectivity.h"
#include "engine/structure/hinge.h"

using namespace sixtyfold;

namespace {

/// Moments by a fine grid of points: slow and obvious.
PanelBody measure_by_grid(const Frame& frame, const Polygon& outline, const Polygon& hole,
                          double step) {
  const Box box = measure_box(outline);
  PanelBody body;
  Mat3 raw = Mat3::Zero();
  for (double x = box.low.x() + step / 2; x < box.high.x(); x += step)
    for (double y = box.low.y() + step / 2; y < box.high.y(); y += step) {
      if (!contains(outline, {x, y}) || contains(hole, {x, y})) continue;
      const Vec3 p = frame.to_space({x, y});
      body.area_mm2 += step * step;
      body.centroid_mm += step * step * p;
      raw += step * step * p * p.transpose();
    }
  body.centroid_mm /= body.area_mm2;
  body.second_moments_mm4 = raw - body.area_mm2 * body.centroid_mm * body.centroid_mm.transpose();
  return body;
}

}  // namespace

// Second moments of a rectangle b h: b h^3 / 12 (any statics textbook).
TEST_CASE("moments of a rectangle are the textbook's", "[structure]") {
  const Frame frame = make_frame({0, 0, 1}, 7);
  const PanelBody body = measure_body(frame, {{100, 50}, {106, 50}, {106, 54}, {100, 54}});
  CHECK(body.area_mm2 == Approx(24));
  CHECK((body.centroid_mm - Vec3(103, 52, 7)).norm() < 1e-12);
  CHECK(body.second_moments_mm4(0, 0) == Approx(4 * 216 / 12.0));
  CHECK(body.second_moments_mm4(1, 1) == Approx(6 * 64 / 12.0));
  CHECK(std::abs(body.second_moments_mm4(0, 1)) < 1e-12);
  CHECK(std::abs(body.second_moments_mm4(2, 2)) < 1e-12);
  // Running the other way round changes nothing.
  const PanelBody back = measure_body(frame, {{100, 54}, {106, 54}, {106, 50}, {100, 50}});
  CHECK(back.area_mm2 == Approx(24));
}

TEST_CASE("moments of a shape with a hole agree with a grid of points", "[structure]") {
  const Frame frame = make_frame(Vec3(0.3, -0.5, 0.8), 40);
  const Polygon outline = {{10, 0}, {60, 5}, {70, 40}, {35, 25}, {5, 45}};
  const Polygon hole = {{30, 8}, {45, 10}, {40, 20}};
  const PanelBody exact = measure_body(frame, outline, {hole});
  const PanelBody grid = measure_by_grid(frame, outline, hole, 0.1);
  CHECK(exact.area_mm2 == Approx(grid.area_mm2).epsilon(1e-3));
  CHECK((exact.centroid_mm - grid.centroid_mm).norm() < 0.05);
  CHECK((exact.second_moments_mm4 - grid.second_moments_mm4).norm() <
        2e-3 * exact.second_moments_mm4.norm());
}

TEST_CASE("in scaled coordinates the square of a motion is its length", "[structure]") {
  RandomStream random(3, Purpose::test, 0);
  const Frame frame = make_frame(Vec3(0.3, -0.5, 0.8), 4);
  const Polygon square = {{1, 0}, {3, 0}, {3, 1}, {1, 1}};
  const PanelBody body = measure_body(frame, square);
  const BodyScale scale = make_body_scale(body);
  for (int trial = 0; trial < 20; ++trial) {
    Eigen::Matrix<double, 6, 1> x;
    for (double& value : x) value = random.normal();
    // Gauss points of order 2 integrate squares over the rectangle exactly.
    double sum = 0;
    for (const double s : {-1.0, 1.0})
      for (const double t : {-1.0, 1.0}) {
        const Vec2 p(2 + s / std::sqrt(3.0), 0.5 + t * 0.5 / std::sqrt(3.0));
        sum += 2.0 / 4 * (make_displacement(scale, frame.to_space(p)) * x).squaredNorm();
      }
    CHECK(sum == Approx(x.squaredNorm()).epsilon(1e-12));
  }
}

TEST_CASE("pieces are numbered by least copy", "[structure]") {
  const auto joined = [](int a, int b) {
    Joint joint;
    joint.panels[0] = a, joint.panels[1] = b;
    return joint;
  };
  CHECK(find_pieces(0, {}).empty());
  CHECK(count_pieces(0, {}) == 0);
  CHECK(find_pieces(3, {}) == std::vector<int>{0, 1, 2});
  CHECK(find_pieces(6, {joined(5, 1), joined(3, 5), joined(4, 2)}) ==
        std::vector<int>{0, 1, 2, 1, 2, 1});
  CHECK(count_pieces(6, {joined(5, 1), joined(3, 5), joined(4, 2)}) == 3);
}
