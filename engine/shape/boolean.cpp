#include "engine/shape/boolean.h"

#include <polyclipping/clipper.hpp>

namespace sixtyfold {

namespace {

constexpr double grid_per_mm = 1e5;

ClipperLib::Paths to_paths(const PolygonSet& set) {
  ClipperLib::Paths paths;
  paths.reserve(set.size());
  for (const Polygon& polygon : set) {
    ClipperLib::Path path;
    path.reserve(polygon.size());
    for (const Vec2& p : polygon)
      path.emplace_back(static_cast<ClipperLib::cInt>(std::llround(p.x() * grid_per_mm)),
                        static_cast<ClipperLib::cInt>(std::llround(p.y() * grid_per_mm)));
    paths.push_back(std::move(path));
  }
  return paths;
}

PolygonSet from_paths(const ClipperLib::Paths& paths) {
  PolygonSet set;
  set.reserve(paths.size());
  for (const ClipperLib::Path& path : paths) {
    Polygon polygon;
    polygon.reserve(path.size());
    for (const ClipperLib::IntPoint& p : path)
      polygon.emplace_back(static_cast<double>(p.X) / grid_per_mm,
                           static_cast<double>(p.Y) / grid_per_mm);
    set.push_back(std::move(polygon));
  }
  return set;
}

PolygonSet make_boolean(ClipperLib::ClipType type, const PolygonSet& a, const PolygonSet& b) {
  ClipperLib::Clipper clipper;
  clipper.StrictlySimple(true);
  clipper.AddPaths(to_paths(a), ClipperLib::ptSubject, true);
  clipper.AddPaths(to_paths(b), ClipperLib::ptClip, true);
  ClipperLib::Paths result;
  clipper.Execute(type, result, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  return from_paths(result);
}

}  // namespace

PolygonSet make_union(const PolygonSet& a, const PolygonSet& b) {
  return make_boolean(ClipperLib::ctUnion, a, b);
}

PolygonSet make_difference(const PolygonSet& a, const PolygonSet& b) {
  return make_boolean(ClipperLib::ctDifference, a, b);
}

PolygonSet make_intersection(const PolygonSet& a, const PolygonSet& b) {
  return make_boolean(ClipperLib::ctIntersection, a, b);
}

PolygonSet make_offset(const PolygonSet& a, double distance_mm) {
  ClipperLib::ClipperOffset offset(2.0);
  offset.AddPaths(to_paths(a), ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
  ClipperLib::Paths result;
  offset.Execute(result, distance_mm * grid_per_mm);
  return from_paths(result);
}

Polygon take_largest(const PolygonSet& set, double& others) {
  const Polygon* best = nullptr;
  double best_area = 0;
  others = 0;
  for (const Polygon& polygon : set) {
    const double area = measure_area(polygon);
    if (area <= 0) continue;
    if (area > best_area) {
      others += best_area;
      best_area = area;
      best = &polygon;
    } else {
      others += area;
    }
  }
  return best ? *best : Polygon{};
}

double measure_set_area(const PolygonSet& a) {
  double area = 0;
  for (const Polygon& polygon : a) area += measure_area(polygon);
  return area;
}

}  // namespace sixtyfold
