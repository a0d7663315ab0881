#pragma once
// Polygons to and from the integer grid of the Clipper library. For source files that use it.

#include <cmath>
#include <polyclipping/clipper.hpp>

#include "engine/shape/polygon.h"

namespace sixtyfold {

inline ClipperLib::IntPoint to_grid(const Vec2& p, double units_per_mm) {
  return ClipperLib::IntPoint(std::llround(p.x() * units_per_mm),
                              std::llround(p.y() * units_per_mm));
}

inline ClipperLib::Path to_path(const Polygon& polygon, double units_per_mm) {
  ClipperLib::Path path;
  path.reserve(polygon.size());
  for (const Vec2& p : polygon) path.push_back(to_grid(p, units_per_mm));
  return path;
}

inline ClipperLib::Paths to_paths(const std::vector<Polygon>& set, double units_per_mm) {
  ClipperLib::Paths paths;
  paths.reserve(set.size());
  for (const Polygon& polygon : set) paths.push_back(to_path(polygon, units_per_mm));
  return paths;
}

inline Vec2 from_grid(const ClipperLib::IntPoint& p, double units_per_mm) {
  return {static_cast<double>(p.X) / units_per_mm, static_cast<double>(p.Y) / units_per_mm};
}

inline Polygon from_path(const ClipperLib::Path& path, double units_per_mm) {
  Polygon polygon;
  polygon.reserve(path.size());
  for (const ClipperLib::IntPoint& p : path) polygon.push_back(from_grid(p, units_per_mm));
  return polygon;
}

inline std::vector<Polygon> from_paths(const ClipperLib::Paths& paths, double units_per_mm) {
  std::vector<Polygon> set;
  set.reserve(paths.size());
  for (const ClipperLib::Path& path : paths) set.push_back(from_path(path, units_per_mm));
  return set;
}

}  // namespace sixtyfold
