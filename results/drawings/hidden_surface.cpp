#include "results/drawings/hidden_surface.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "engine/shape/clipper_paths.h"

namespace sixtyfold {
namespace {

namespace cl = ClipperLib;

// Points nearer than this to a plane lie on it: coplanar copies do not hide each other.
constexpr double on_plane_mm = 1e-6;
// Light that grazes a face more flatly than this sine gives it no light worth a shadow.
constexpr double grazing = 0.05;
// On a panel's own plane the grid may be coarser than in the picture: it is a picture to come.
constexpr double plane_units_per_mm = 1e3;

// Part of a ring that is higher than that (Sutherland and Hodgman 1974). Where a ring falls into
// several lobes they stay linked by edges at that height, which enclose no area.
template <class Point, class Height>
std::vector<Point> clip_above(const std::vector<Point>& ring, double least,
                              const Height& height_of) {
  std::vector<Point> kept;
  if (ring.empty()) return kept;
  Point last = ring.back();
  double last_height = height_of(last);
  for (const Point& next : ring) {
    const double height = height_of(next);
    if ((height > least) != (last_height > least))
      kept.push_back(last + (next - last) * ((least - last_height) / (height - last_height)));
    if (height > least) kept.push_back(next);
    last = next;
    last_height = height;
  }
  return kept;
}

// Part of a ring within the box and a little more: what covers something in the box covers it as
// before, and the rest need not be cut.
Polygon clip_to_box(Polygon ring, const Box& box) {
  constexpr double beyond_mm = 1;
  for (const int axis : {0, 1}) {
    const auto up = [axis](const Vec2& p) { return p[axis]; };
    const auto down = [axis](const Vec2& p) { return -p[axis]; };
    ring = clip_above(ring, box.low[axis] - beyond_mm, up);
    ring = clip_above(ring, -box.high[axis] - beyond_mm, down);
  }
  return ring;
}

template <class Project>
Region project_rings(const std::vector<std::vector<Vec3>>& rings, const Project& project) {
  Region region;
  for (const auto& ring : rings) {
    Polygon flat;
    flat.reserve(ring.size());
    for (const Vec3& p : ring) flat.push_back(project(p));
    region.push_back(std::move(flat));
  }
  return region;
}

// Turned so that the outer ring of the whole face would be positive: then windings add up.
void reverse_all(Region& region) {
  for (Polygon& ring : region) std::reverse(ring.begin(), ring.end());
}

Box box_of(const Region& region) {
  Box box{Vec2::Constant(1e300), Vec2::Constant(-1e300)};
  for (const Polygon& ring : region)
    for (const Vec2& p : ring) {
      box.low = box.low.cwiseMin(p);
      box.high = box.high.cwiseMax(p);
    }
  return box;
}

bool meet(const Box& a, const Box& b) {
  return a.low.x() <= b.high.x() && b.low.x() <= a.high.x() && a.low.y() <= b.high.y() &&
         b.low.y() <= a.high.y();
}

std::vector<std::vector<Vec3>> clip_face(const FlatFace& face, const Vec3& point,
                                         const Vec3& normal) {
  std::vector<std::vector<Vec3>> rings;
  for (const auto& ring : face.rings) {
    auto kept = clip_above(ring, on_plane_mm, [&](const Vec3& p) { return normal.dot(p - point); });
    if (kept.size() >= 3) rings.push_back(std::move(kept));
  }
  return rings;
}

cl::Paths combine(cl::ClipType type, const cl::Paths& subject, const cl::Paths& clip) {
  cl::Clipper clipper;
  clipper.AddPaths(subject, cl::ptSubject, true);
  clipper.AddPaths(clip, cl::ptClip, true);
  cl::Paths result;
  clipper.Execute(type, result, cl::pftNonZero, cl::pftNonZero);
  return result;
}

}  // namespace

Camera make_camera(const Vec3& target, double distance, double azimuth_rad, double elevation_rad) {
  assert(distance > 0);
  Camera camera;
  const Vec3 towards_eye(std::cos(elevation_rad) * std::cos(azimuth_rad),
                         std::cos(elevation_rad) * std::sin(azimuth_rad), std::sin(elevation_rad));
  camera.eye = target + distance * towards_eye;
  camera.forward = -towards_eye;
  camera.right = Vec3(-std::sin(azimuth_rad), std::cos(azimuth_rad), 0);
  camera.up = camera.right.cross(camera.forward);
  return camera;
}

std::vector<Region> find_visible_regions(const std::vector<FlatFace>& faces, const Camera& camera,
                                         const std::function<bool(std::size_t)>& is_wanted) {
  const auto project = [&](const Vec3& p) { return camera.project(p); };
  const std::size_t count = faces.size();
  std::vector<Region> pictures(count);
  std::vector<Box> boxes(count);
  std::vector<char> turned(count);
  for (std::size_t i = 0; i < count; ++i) {
    pictures[i] = project_rings(faces[i].rings, project);
    boxes[i] = box_of(pictures[i]);
    turned[i] = !pictures[i].empty() && measure_area(pictures[i][0]) < 0;
    if (turned[i]) reverse_all(pictures[i]);
  }

  std::vector<Region> visible(count);
  for (std::size_t i = 0; i < count; ++i) {
    if (is_wanted && !is_wanted(i)) continue;
    const FlatFace& face = faces[i];
    const double eye_height = face.normal.dot(camera.eye - face.point);
    if (!(std::abs(eye_height) > on_plane_mm) || pictures[i].empty()) continue;
    const Vec3 towards_eye = eye_height > 0 ? face.normal : Vec3(-face.normal);
    cl::Paths hiders;
    for (std::size_t j = 0; j < count; ++j) {
      if (j == i || !meet(boxes[i], boxes[j])) continue;
      Region part = project_rings(clip_face(faces[j], face.point, towards_eye), project);
      if (turned[j]) reverse_all(part);
      for (const Polygon& ring : part)
        if (const Polygon near = clip_to_box(ring, boxes[i]); near.size() >= 3)
          hiders.push_back(to_path(near, picture_units_per_mm));
    }
    visible[i] =
        from_paths(combine(cl::ctDifference, to_paths(pictures[i], picture_units_per_mm), hiders),
                   picture_units_per_mm);
  }
  return visible;
}

std::vector<Region> find_shadow_regions(const std::vector<FlatFace>& faces, const Camera& camera,
                                        const Vec3& towards_light,
                                        const std::vector<Region>& visible) {
  assert(visible.size() == faces.size());
  std::vector<Region> shadows(faces.size());
  for (std::size_t i = 0; i < faces.size(); ++i) {
    const FlatFace& face = faces[i];
    const double light = face.normal.dot(towards_light);
    const double eye_height = face.normal.dot(camera.eye - face.point);
    if (visible[i].empty() || std::abs(light) < grazing || light * eye_height <= 0) continue;
    const Vec3 lit_side = light > 0 ? face.normal : Vec3(-face.normal);
    const double slope = lit_side.dot(towards_light);
    // Any axes in the plane do; the shadow is cut there before it goes to the picture, because the
    // foot of a long shadow may lie behind the eye.
    const Vec3 x_axis = lit_side.unitOrthogonal(), y_axis = lit_side.cross(x_axis);
    const auto to_plane = [&](const Vec3& p) {
      const Vec3 foot = p - towards_light * (lit_side.dot(p - face.point) / slope) - face.point;
      return Vec2(x_axis.dot(foot), y_axis.dot(foot));
    };
    Region own = project_rings(face.rings, to_plane);
    if (measure_area(own[0]) < 0) reverse_all(own);
    const Box own_box = box_of(own);
    cl::Paths casters;
    for (std::size_t j = 0; j < faces.size(); ++j) {
      if (j == i) continue;
      Region part = project_rings(clip_face(faces[j], face.point, lit_side), to_plane);
      if (part.empty() || !meet(own_box, box_of(part))) continue;
      // Which way round a face falls on the plane: by its normal against the light's direction.
      Region whole = project_rings(faces[j].rings, to_plane);
      if (measure_area(whole[0]) < 0) reverse_all(part);
      for (const Polygon& ring : part)
        if (const Polygon near = clip_to_box(ring, own_box); near.size() >= 3)
          casters.push_back(to_path(near, plane_units_per_mm));
    }
    if (casters.empty()) continue;
    const Region on_face =
        from_paths(combine(cl::ctIntersection, to_paths(own, plane_units_per_mm), casters),
                   plane_units_per_mm);
    cl::Paths picture;
    for (const Polygon& ring : on_face) {
      Polygon flat;
      for (const Vec2& p : ring)
        flat.push_back(camera.project(face.point + p.x() * x_axis + p.y() * y_axis));
      picture.push_back(to_path(flat, picture_units_per_mm));
    }
    shadows[i] =
        from_paths(combine(cl::ctIntersection, to_paths(visible[i], picture_units_per_mm), picture),
                   picture_units_per_mm);
  }
  return shadows;
}

Region make_floor_shadow(const std::vector<FlatFace>& faces, const Camera& camera,
                         double floor_z_mm, const Vec3& towards_light) {
  assert(towards_light.z() > grazing);
  cl::Paths paths;
  for (const FlatFace& face : faces) {
    Region picture = project_rings(face.rings, [&](const Vec3& p) {
      return camera.project(p - towards_light * ((p.z() - floor_z_mm) / towards_light.z()));
    });
    if (measure_area(picture[0]) < 0) reverse_all(picture);
    for (const Polygon& ring : picture) paths.push_back(to_path(ring, picture_units_per_mm));
  }
  return from_paths(combine(cl::ctUnion, paths, {}), picture_units_per_mm);
}

Region make_union(const std::vector<Region>& regions) {
  cl::Paths paths;
  for (const Region& region : regions)
    for (const Polygon& ring : region) paths.push_back(to_path(ring, picture_units_per_mm));
  return from_paths(combine(cl::ctUnion, paths, {}), picture_units_per_mm);
}

Region make_clean_region(const Region& region, double tolerance_mm) {
  cl::Paths paths = to_paths(region, picture_units_per_mm), kept;
  cl::CleanPolygons(paths, tolerance_mm * picture_units_per_mm);
  for (const cl::Path& path : paths)
    if (path.size() >= 3 &&
        std::abs(cl::Area(path)) / (picture_units_per_mm * picture_units_per_mm) >
            tolerance_mm * tolerance_mm)
      kept.push_back(path);
  return from_paths(kept, picture_units_per_mm);
}

double measure_region(const Region& region) {
  double area = 0;
  for (const Polygon& ring : region) area += measure_area(ring);
  return area;
}

}  // namespace sixtyfold
