#pragma once
// The slow reference of make_convex_hull: Andrew's monotone chain (1979) over points sorted by the
// standard library.

#include <algorithm>

#include "engine/shape/orientation.h"
#include "engine/shape/polygon.h"

namespace sixtyfold::plain {

/// Counter-clockwise from the leftmost point, no collinear points.
inline Polygon make_hull(const Polygon& polygon) {
  Polygon points = polygon;
  std::sort(points.begin(), points.end(), [](const Vec2& a, const Vec2& b) {
    return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y();
  });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 3) return points;
  const auto make_chain = [](const Polygon& sorted) {
    Polygon chain;
    for (const Vec2& p : sorted) {
      while (chain.size() >= 2 &&
             find_orientation(chain[chain.size() - 2], chain[chain.size() - 1], p) <= 0)
        chain.pop_back();
      chain.push_back(p);
    }
    chain.pop_back();  // the other chain begins with it
    return chain;
  };
  Polygon hull = make_chain(points);
  std::reverse(points.begin(), points.end());
  for (const Vec2& p : make_chain(points)) hull.push_back(p);
  return hull;
}

}  // namespace sixtyfold::plain
