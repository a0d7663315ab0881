#include "results/drawings/hidden_surface.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "results/drawings/drawing_svg.h"
#include "tests/support/crossing_design.h"

using namespace sixtyfold;

namespace {

// Slow and obvious: where a ray meets a face, by the crossing number of all its rings.
bool hits(const FlatFace& face, const Vec3& from, const Vec3& direction, double& along) {
  const double speed = face.normal.dot(direction);
  if (speed == 0) return false;
  along = face.normal.dot(face.point - from) / speed;
  const Vec3 p = from + along * direction;
  // Drop the coordinate along which the normal is longest.
  Eigen::Index drop = 0;
  face.normal.cwiseAbs().maxCoeff(&drop);
  const Eigen::Index x = (drop + 1) % 3, y = (drop + 2) % 3;
  bool inside = false;
  for (const auto& ring : face.rings)
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
      if ((ring[i](y) > p(y)) != (ring[j](y) > p(y)) &&
          p(x) < ring[i](x) +
                     (ring[j](x) - ring[i](x)) * (p(y) - ring[i](y)) / (ring[j](y) - ring[i](y)))
        inside = !inside;
  return inside;
}

bool covers(const Region& region, const Vec2& point) {
  bool inside = false;
  for (const Polygon& ring : region) inside ^= contains(ring, point);
  return inside;
}

struct Raster {
  int samples = 0, seen = 0, wrong = 0, wrong_shadow = 0;
  double worst_area = 0;  // share of the picture by which a face's area differs from its samples
};

Raster compare_with_rays(const std::vector<FlatFace>& faces, const Camera& camera, int across) {
  const Vec3 light = Vec3(-0.5, -0.4, 0.9).normalized();
  const std::vector<Region> visible = find_visible_regions(faces, camera);
  const std::vector<Region> shadows = find_shadow_regions(faces, camera, light, visible);
  const double half = 70;
  std::vector<int> seen(faces.size());
  Raster raster;
  for (int row = 0; row < across; ++row)
    for (int column = 0; column < across; ++column) {
      const Vec2 pixel(-half + 2 * half * (column + 0.4871) / across,
                       -half + 2 * half * (row + 0.5219) / across);
      const Vec3 direction = camera.forward + pixel.x() / camera.scale_mm * camera.right -
                             pixel.y() / camera.scale_mm * camera.up;
      double nearest = std::numeric_limits<double>::infinity();
      int first = -1;
      for (std::size_t i = 0; i < faces.size(); ++i) {
        double along = 0;
        if (hits(faces[i], camera.eye, direction, along) && along < nearest) {
          nearest = along;
          first = static_cast<int>(i);
        }
      }
      int drawn = -1, times = 0;
      for (std::size_t i = 0; i < faces.size(); ++i)
        if (covers(visible[i], pixel)) {
          drawn = static_cast<int>(i);
          ++times;
        }
      ++raster.samples;
      raster.wrong += drawn != first || times > 1;
      if (first < 0 || drawn != first) continue;
      ++raster.seen;
      ++seen[static_cast<std::size_t>(first)];
      const FlatFace& face = faces[static_cast<std::size_t>(first)];
      const Vec3 point = camera.eye + nearest * direction;
      const double slope = face.normal.dot(light);
      if (std::abs(slope) < 0.06 || slope * face.normal.dot(camera.eye - face.point) < 0) continue;
      bool shaded = false;
      for (std::size_t i = 0; i < faces.size() && !shaded; ++i) {
        double along = 0;
        shaded = static_cast<int>(i) != first && hits(faces[i], point, light, along) && along > 0;
      }
      raster.wrong_shadow += shaded != covers(shadows[static_cast<std::size_t>(first)], pixel);
    }
  for (std::size_t i = 0; i < faces.size(); ++i)
    raster.worst_area =
        std::max(raster.worst_area, std::abs(measure_region(visible[i]) / (4 * half * half) -
                                             seen[i] / static_cast<double>(raster.samples)));
  return raster;
}

Camera make_test_camera(double radius_mm, std::uint64_t seed) {
  RandomStream random(seed, Purpose::test, 5);
  Camera camera = make_camera(Vec3::Zero(), random.uniform(1.7, 5) * radius_mm,
                              random.uniform(-pi, pi), random.uniform(-1.2, 1.2));
  const double distance = camera.eye.norm();
  camera.scale_mm = 68 * std::sqrt(distance * distance - radius_mm * radius_mm) / radius_mm;
  return camera;
}

double measure_radius(const std::vector<FlatFace>& faces) {
  double radius = 0;
  for (const FlatFace& face : faces)
    for (const Vec3& p : face.rings[0]) radius = std::max(radius, p.norm());
  return radius;
}

FlatFace make_rectangle(const Vec3& corner, const Vec3& u, const Vec3& v) {
  return {corner, u.cross(v).normalized(), {{corner, corner + u, corner + u + v, corner + v}}};
}

}  // namespace

TEST_CASE("what is drawn is what a ray from the eye meets first", "[drawing]") {
  // Reference: every sample's nearest face by ray casting, independent of any clipping.
  const char* const groups[] = {"I", "O", "T", "D5", "D3", "C3", "C6", "Ih", "Td", "S6"};
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    const std::string group = groups[seed % 10];
    const Design design = make_crossing_design(group, seed);
    const std::vector<FlatFace> faces = make_faces(design, 0);
    const Camera camera = make_test_camera(measure_radius(faces), seed);
    const Raster raster = compare_with_rays(faces, camera, 90);
    INFO("group " << group << ", seed " << seed);
    REQUIRE(raster.seen > raster.samples / 50);
    // A sample may fall within rounding of an edge; none of these does by more than one.
    CHECK(raster.wrong <= 1);
    CHECK(raster.wrong_shadow <= 2);
    CHECK(raster.worst_area < 0.0025);
  }
}

TEST_CASE("areas converge to the raster's as it is refined", "[drawing]") {
  const std::vector<FlatFace> faces = make_faces(make_crossing_design("T", 3), 0);
  const Camera camera = make_test_camera(measure_radius(faces), 3);
  CHECK(compare_with_rays(faces, camera, 500).worst_area < 0.0003);
}

TEST_CASE("two crossing rectangles each hide half of the other", "[drawing]") {
  // By hand: two squares of side 2 that cross at right angles in the vertical axis, seen at 45
  // degrees to both: of each, the half nearer to the eye shows whole and the farther half not.
  const std::vector<FlatFace> faces = {make_rectangle({-1, 0, -1}, {2, 0, 0}, {0, 0, 2}),
                                       make_rectangle({0, -1, -1}, {0, 2, 0}, {0, 0, 2})};
  Camera camera = make_camera(Vec3::Zero(), 1e6, -3 * pi / 4, 0);
  camera.scale_mm = 1e6;  // so far away that it is a parallel projection of scale 1
  const std::vector<Region> visible = find_visible_regions(faces, camera);
  for (const Region& region : visible)
    CHECK(measure_region(region) == Approx(2 / std::sqrt(2.0)).epsilon(1e-4));
}

TEST_CASE("coplanar neighbours do not hide each other, and an edge-on face does not show",
          "[drawing]") {
  const std::vector<FlatFace> faces = {make_rectangle({-1, 0, 0}, {1, 0, 0}, {0, 0, 1}),
                                       make_rectangle({0, 0, 0}, {1, 0, 0}, {0, 0, 1}),
                                       make_rectangle({0, 0, 0}, {0, 1, 0}, {0, 0, 1})};
  Camera camera = make_camera(Vec3::Zero(), 1e6, -pi / 2, 0);
  camera.scale_mm = 1e6;
  const std::vector<Region> visible = find_visible_regions(faces, camera);
  CHECK(measure_region(visible[0]) == Approx(1).epsilon(1e-4));
  CHECK(measure_region(visible[1]) == Approx(1).epsilon(1e-4));
  CHECK(measure_region(visible[2]) == Approx(0).margin(1e-4));
}

TEST_CASE("a closed box shows three sides, and they fill its silhouette", "[drawing]") {
  std::vector<FlatFace> faces;
  for (const double s : {-1.0, 1.0}) {
    faces.push_back(make_rectangle({s, -1, -1}, {0, 2, 0}, {0, 0, 2}));
    faces.push_back(make_rectangle({-1, s, -1}, {0, 0, 2}, {2, 0, 0}));
    faces.push_back(make_rectangle({-1, -1, s}, {2, 0, 0}, {0, 2, 0}));
  }
  Camera camera = make_camera(Vec3::Zero(), 7, 0.5, 0.4);
  camera.scale_mm = 100;
  const std::vector<Region> visible = find_visible_regions(faces, camera);
  const std::vector<Region> odd =
      find_visible_regions(faces, camera, [](std::size_t i) { return i % 2 == 1; });
  for (std::size_t i = 0; i < faces.size(); ++i)
    CHECK(odd[i] == (i % 2 == 1 ? visible[i] : Region()));
  int shown = 0;
  double sum = 0;
  for (const Region& region : visible) {
    shown += measure_region(region) > 1e-3;
    sum += measure_region(region);
  }
  CHECK(shown == 3);
  CHECK(measure_region(make_union(visible)) == Approx(sum).epsilon(1e-6));
}

TEST_CASE("the floor shadow of a level square is that square", "[drawing]") {
  const std::vector<FlatFace> faces = {make_rectangle({-1, -1, 1}, {2, 0, 0}, {0, 2, 0})};
  Camera camera = make_camera(Vec3::Zero(), 1e6, 0, to_radians(89));
  camera.scale_mm = 1e6;
  const Region shadow = make_floor_shadow(faces, camera, 0, Vec3(0.3, 0.1, 1).normalized());
  CHECK(measure_region(shadow) == Approx(4 * std::sin(to_radians(89))).epsilon(1e-4));
}
