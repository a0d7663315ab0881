#include "engine/shape/polygon.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

#include "engine/shape/orientation.h"
#include "engine/shape/segment.h"

namespace sixtyfold {
namespace {

double squared_distance_to_segment(const Vec2& point, const Vec2& a, const Vec2& b) {
  return (point - a - find_nearest_share(a, b, point) * (b - a)).squaredNorm();
}

}  // namespace

double measure_area(const Polygon& polygon) {
  if (polygon.empty()) return 0;
  // About the first vertex: exact on integers, and no loss far from the origin.
  const Vec2 origin = polygon.front();
  double twice = 0;
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
    twice += cross(polygon[i] - origin, polygon[i + 1] - origin);
  return twice / 2;
}

double measure_perimeter(const Polygon& polygon) {
  if (polygon.empty()) return 0;
  double sum = 0;
  Vec2 previous = polygon.back();
  for (const Vec2& vertex : polygon) {
    sum += (vertex - previous).norm();
    previous = vertex;
  }
  return sum;
}

Vec2 measure_centroid(const Polygon& polygon) {
  assert(!polygon.empty());
  const Vec2 origin = polygon.front();
  double twice = 0;
  Vec2 moment = Vec2::Zero();
  for (std::size_t i = 1; i + 1 < polygon.size(); ++i) {
    const Vec2 a = polygon[i] - origin, b = polygon[i + 1] - origin;
    const double part = cross(a, b);
    twice += part;
    moment += part * (a + b);
  }
  return origin + moment / (3 * twice);
}

Box measure_box(const Polygon& polygon) {
  assert(!polygon.empty());
  Box box{polygon.front(), polygon.front()};
  for (const Vec2& vertex : polygon) {
    box.low = box.low.cwiseMin(vertex);
    box.high = box.high.cwiseMax(vertex);
  }
  return box;
}

Box measure_box_along(const Polygon& polygon, double direction_rad) {
  assert(!polygon.empty());
  const double c = std::cos(direction_rad), s = std::sin(direction_rad);
  Box box;
  box.low = Vec2::Constant(std::numeric_limits<double>::infinity());
  box.high = -box.low;
  for (const Vec2& vertex : polygon) {
    const Vec2 turned(c * vertex.x() + s * vertex.y(), c * vertex.y() - s * vertex.x());
    box.low = box.low.cwiseMin(turned);
    box.high = box.high.cwiseMax(turned);
  }
  return box;
}

bool contains(const Polygon& polygon, const Vec2& point) {
  if (polygon.empty()) return false;
  bool inside = false;
  const Vec2* previous = &polygon.back();
  for (const Vec2& vertex : polygon) {
    if ((vertex.y() > point.y()) != (previous->y() > point.y())) {
      const Vec2& low = vertex.y() < previous->y() ? vertex : *previous;
      const Vec2& high = vertex.y() < previous->y() ? *previous : vertex;
      // Crossed by the ray to the right when the point lies left of the edge, seen upwards.
      if (cross(high - low, point - low) > 0) inside = !inside;
    }
    previous = &vertex;
  }
  return inside;
}

double distance_to_boundary(const Polygon& polygon, const Vec2& point) {
  assert(!polygon.empty());
  double least = std::numeric_limits<double>::infinity();
  const Vec2* previous = &polygon.back();
  for (const Vec2& vertex : polygon) {
    least = std::min(least, squared_distance_to_segment(point, *previous, vertex));
    previous = &vertex;
  }
  return std::sqrt(least);
}

namespace {

/// Sorted by x, then y, by merging the runs there are (natural merge sort, Knuth 1998, 5.2.4): a
/// polygon runs to and fro a few times only.
void sort_points(HullWorkspace& work) {
  Polygon& points = work.points;
  const auto less = [](const Vec2& a, const Vec2& b) {
    return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y());
  };
  const std::size_t count = points.size();
  std::vector<std::size_t>& ends = work.run_ends;
  ends.clear();
  for (std::size_t start = 0; start < count; start = ends.back()) {
    std::size_t end = start + 1;
    const bool falling = end < count && less(points[end], points[start]);
    while (end < count && less(points[end], points[end - 1]) == falling) ++end;
    if (falling)
      std::reverse(points.begin() + static_cast<std::ptrdiff_t>(start),
                   points.begin() + static_cast<std::ptrdiff_t>(end));
    ends.push_back(end);
  }
  work.merged.resize(count);
  while (ends.size() > 1) {
    std::size_t start = 0, kept = 0;
    for (std::size_t i = 0; i < ends.size(); i += 2) {
      const std::size_t middle = ends[i], end = i + 1 < ends.size() ? ends[i + 1] : middle;
      const Vec2 *left = &points[start], *right = points.data() + middle;
      const Vec2 *const left_end = right, *const right_end = points.data() + end;
      Vec2* out = &work.merged[start];
      while (left != left_end && right != right_end) {
        const bool take_right = less(*right, *left);
        *out++ = take_right ? *right : *left;
        right += take_right;
        left += !take_right;
      }
      out = std::copy(left, left_end, out);
      std::copy(right, right_end, out);
      ends[kept++] = end;
      start = end;
    }
    ends.resize(kept);
    points.swap(work.merged);
  }
}

}  // namespace

void make_convex_hull(const Polygon& polygon, HullWorkspace& work, Polygon& hull) {
  // Monotone chain (Andrew 1979) with exact turns.
  Polygon& points = work.points;
  points.assign(polygon.begin(), polygon.end());
  sort_points(work);
  points.erase(std::unique(points.begin(), points.end()), points.end());
  hull.clear();
  if (points.size() < 3) {
    hull = points;
    return;
  }
  const auto add = [&](const Vec2& point, std::size_t least) {
    while (hull.size() >= least && find_orientation(hull[hull.size() - 2], hull.back(), point) <= 0)
      hull.pop_back();
    hull.push_back(point);
  };
  for (const Vec2& point : points) add(point, 2);
  const std::size_t lower = hull.size() + 1;
  for (std::size_t i = points.size() - 1; i-- > 0;) add(points[i], lower);
  hull.pop_back();
}

Polygon make_convex_hull(const Polygon& polygon) {
  HullWorkspace work;
  Polygon hull;
  make_convex_hull(polygon, work, hull);
  return hull;
}

Rectangle measure_least_rectangle(const Polygon& polygon) {
  return measure_rectangle_of_hull(make_convex_hull(polygon));
}

Rectangle measure_rectangle_of_hull(const Polygon& hull) {
  Rectangle best;
  if (hull.size() < 2) return best;
  const std::size_t count = hull.size();
  const auto next = [&](std::size_t i) { return i + 1 == count ? 0 : i + 1; };
  double least_area = std::numeric_limits<double>::infinity();
  Vec2 direction = Vec2::UnitX();
  std::size_t right = 0, top = 0, left = 0;  // farthest along, across and against the edge
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 along = (hull[next(i)] - hull[i]).normalized();
    const Vec2 across(-along.y(), along.x());
    const auto advance = [&](std::size_t at, const Vec2& towards) {
      for (std::size_t step = 0; step < count; ++step) {
        if (towards.dot(hull[next(at)]) < towards.dot(hull[at])) break;
        at = next(at);
      }
      return at;
    };
    right = advance(i == 0 ? next(0) : right, along);
    top = advance(i == 0 ? right : top, across);
    left = advance(i == 0 ? top : left, -along);
    const double length = along.dot(hull[right] - hull[left]);
    const double height = across.dot(hull[top] - hull[i]);
    // Equal areas are common (every acute triangle has three): the slimmer rectangle wins.
    const double area = length * height;
    if (area < least_area * (1 - 1e-9) ||
        (area < least_area * (1 + 1e-9) && std::min(length, height) < best.short_mm)) {
      least_area = std::min(least_area, area);
      direction = length >= height ? along : across;
      best.long_mm = std::max(length, height);
      best.short_mm = std::min(length, height);
    }
  }
  best.direction_rad = std::atan2(direction.y(), direction.x());
  if (best.direction_rad < 0) best.direction_rad += pi;
  if (best.direction_rad >= pi) best.direction_rad -= pi;
  return best;
}

bool is_simple(const Polygon& polygon) {
  const std::size_t count = polygon.size();
  if (count < 3) return false;
  for (const Vec2& vertex : polygon)
    if (!std::isfinite(vertex.x()) || !std::isfinite(vertex.y())) return false;
  struct Edge {
    double low_x, high_x, low_y, high_y;
    std::size_t from;
  };
  std::vector<Edge> edges(count);
  const auto next = [&](std::size_t i) { return i + 1 == count ? 0 : i + 1; };
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 &a = polygon[i], &b = polygon[next(i)], &c = polygon[next(next(i))];
    if (a == b) return false;
    // Neighbours that fold back onto each other.
    if ((a - b).dot(c - b) > 0 && find_orientation(a, b, c) == 0) return false;
    edges[i] = {std::min(a.x(), b.x()), std::max(a.x(), b.x()), std::min(a.y(), b.y()),
                std::max(a.y(), b.y()), i};
  }
  // Sweep along x: an edge meets only edges that start before it ends.
  std::sort(edges.begin(), edges.end(),
            [](const Edge& a, const Edge& b) { return a.low_x < b.low_x; });
  for (std::size_t i = 0; i < count; ++i) {
    const Edge& e = edges[i];
    for (std::size_t j = i + 1; j < count && edges[j].low_x <= e.high_x; ++j) {
      const Edge& f = edges[j];
      if (f.low_y > e.high_y || f.high_y < e.low_y) continue;
      if (next(e.from) == f.from || next(f.from) == e.from) continue;
      if (segments_meet(polygon[e.from], polygon[next(e.from)], polygon[f.from],
                        polygon[next(f.from)]))
        return false;
    }
  }
  return true;
}

Polygon make_counter_clockwise(Polygon polygon) {
  if (measure_area(polygon) < 0) std::reverse(polygon.begin(), polygon.end());
  return polygon;
}

Polygon make_simplified(const Polygon& polygon, double tolerance_mm) {
  const std::size_t count = polygon.size();
  if (count < 3) return polygon;
  // Start from a vertex that must stay: the farthest from the mean is a corner of the hull.
  const Vec2 mean = std::accumulate(polygon.begin(), polygon.end(), Vec2(0, 0)) / double(count);
  const std::size_t start = static_cast<std::size_t>(
      std::max_element(polygon.begin(), polygon.end(),
                       [&](const Vec2& a, const Vec2& b) {
                         return (a - mean).squaredNorm() < (b - mean).squaredNorm();
                       }) -
      polygon.begin());
  const auto at = [&](std::size_t i) -> const Vec2& { return polygon[(start + i) % count]; };
  const double bound = tolerance_mm * tolerance_mm;
  Polygon result{at(0)};
  std::size_t kept = 0;
  while (kept < count) {
    // As far as the chord stays within the tolerance of everything it skips.
    std::size_t reach = kept + 1;
    for (std::size_t end = kept + 2; end <= count; ++end) {
      bool near = true;
      for (std::size_t i = kept + 1; i < end && near; ++i)
        near = squared_distance_to_segment(at(i), at(kept), at(end)) <= bound;
      if (!near) break;
      reach = end;
    }
    kept = reach;
    if (kept < count) result.push_back(at(kept));
  }
  return result;
}

}  // namespace sixtyfold
