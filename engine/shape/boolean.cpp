#include "engine/shape/boolean.h"

#include <algorithm>
#include <cmath>
#include <utility>

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

PolygonSet make_round_offset(const PolygonSet& a, double distance_mm, double chord_mm) {
  ClipperLib::ClipperOffset offset(2.0, chord_mm * grid_per_mm);
  offset.AddPaths(to_paths(a, grid_per_mm), ClipperLib::jtRound, ClipperLib::etClosedPolygon);
  ClipperLib::Paths result;
  offset.Execute(result, distance_mm * grid_per_mm);
  return from_paths(result, grid_per_mm);
}

Polygon make_capsule(const Vec2& from, const Vec2& to, double radius_mm, double chord_mm) {
  // Of the circumscribed polygon: no point within the radius is left out.
  const double half_step = std::acos(1 - std::min(1.0, chord_mm / radius_mm));
  const int steps = std::max(4, static_cast<int>(std::ceil(pi / 2 / half_step)));
  const double radius = radius_mm / std::cos(pi / 2 / steps);
  const Vec2 way = to - from;
  const double direction = way.norm() > 0 ? std::atan2(way.y(), way.x()) : 0;
  Polygon capsule;
  for (const auto& [end, start] :
       {std::pair(to, direction - pi / 2), std::pair(from, direction + pi / 2)})
    for (int i = 0; i < steps; ++i) {
      const double angle = start + pi * (i + 0.5) / steps;
      capsule.push_back(end + radius * Vec2(std::cos(angle), std::sin(angle)));
    }
  return capsule;
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
