#include "engine/shape/boolean.h"

#include "engine/shape/clipper_paths.h"

namespace sixtyfold {

namespace {

constexpr double grid_per_mm = 1e5;

PolygonSet make_boolean(ClipperLib::ClipType type, const PolygonSet& a, const PolygonSet& b) {
  ClipperLib::Clipper clipper;
  clipper.StrictlySimple(true);
  clipper.AddPaths(to_paths(a, grid_per_mm), ClipperLib::ptSubject, true);
  clipper.AddPaths(to_paths(b, grid_per_mm), ClipperLib::ptClip, true);
  ClipperLib::Paths result;
  clipper.Execute(type, result, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  return from_paths(result, grid_per_mm);
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
  offset.AddPaths(to_paths(a, grid_per_mm), ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
  ClipperLib::Paths result;
  offset.Execute(result, distance_mm * grid_per_mm);
  return from_paths(result, grid_per_mm);
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
