#pragma once
// Simple closed polygons in a plane: plain values and the measures of them.

#include "engine/vectors.h"

namespace sixtyfold {

/// Vertices in order, counter-clockwise, the first not repeated.
using Polygon = std::vector<Vec2>;

/// Axis-parallel box.
struct Box {
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
  Vec2 size() const { return high - low; }
};

/// A rectangle around a polygon: its sides' lengths and the direction of the long side.
struct Rectangle {
  double long_mm = 0, short_mm = 0;
  double direction_rad = 0;  ///< of the long side, in [0, pi)
};

/// Signed area (shoelace); positive when counter-clockwise.
double measure_area(const Polygon& polygon);
double measure_perimeter(const Polygon& polygon);
/// Centroid of the enclosed area. The area must not be zero.
Vec2 measure_centroid(const Polygon& polygon);
Box measure_box(const Polygon& polygon);
/// Box of the polygon turned by -direction, so that the first side runs along the direction.
Box measure_box_along(const Polygon& polygon, double direction_rad);
/// Even-odd rule; points on the boundary may fall either way.
bool contains(const Polygon& polygon, const Vec2& point);
/// Distance from a point to the boundary, not signed.
double distance_to_boundary(const Polygon& polygon, const Vec2& point);
/// Convex hull, counter-clockwise, no collinear points.
Polygon make_convex_hull(const Polygon& polygon);
/// The same without allocating in the steady state.
struct HullWorkspace {
  Polygon points, merged;
  std::vector<std::size_t> run_ends;
};
void make_convex_hull(const Polygon& polygon, HullWorkspace& work, Polygon& hull);
/// Rectangle of least area around the polygon (rotating calipers, Shamos 1978); of several equal
/// ones (to 1e-9) the slimmest.
Rectangle measure_least_rectangle(const Polygon& polygon);
/// The same for what is a convex hull already.
Rectangle measure_rectangle_of_hull(const Polygon& hull);
/// True if no two edges meet but neighbours in their common vertex. O(n log n) on average.
bool is_simple(const Polygon& polygon);
/// Reversed if it runs clockwise.
Polygon make_counter_clockwise(Polygon polygon);
/// With fewer vertices: every one left out lies within the tolerance of the chord that replaces it.
/// A tolerance of 0 leaves out repeated vertices only.
Polygon make_simplified(const Polygon& polygon, double tolerance_mm);

}  // namespace sixtyfold
