#pragma once
// Unions, differences and offsets of polygons, by the Clipper library on a 10 nm grid. Too slow for
// the search's inner loop; for finished parts and drawings.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Polygons that belong together: outer boundaries counter-clockwise, holes clockwise.
using PolygonSet = std::vector<Polygon>;

/// Non-zero winding throughout; coordinates up to 10 m in size. Results are simple polygons.
PolygonSet make_union(const PolygonSet& a, const PolygonSet& b = {});
PolygonSet make_difference(const PolygonSet& a, const PolygonSet& b);
PolygonSet make_intersection(const PolygonSet& a, const PolygonSet& b);
/// Outward for a positive distance, inward for a negative one; corners mitred up to twice the
/// distance.
PolygonSet make_offset(const PolygonSet& a, double distance_mm);
/// The same with round corners: chords stand off their arcs by at most `chord_mm`.
PolygonSet make_round_offset(const PolygonSet& a, double distance_mm, double chord_mm);
/// All within the radius of a segment.
Polygon make_capsule(const Vec2& from, const Vec2& to, double radius_mm, double chord_mm);
/// The largest outer boundary of a set, empty when there is none; `others`: area of all others.
Polygon take_largest(const PolygonSet& set, double& others);
/// Area with holes taken off.
double measure_set_area(const PolygonSet& a);

}  // namespace sixtyfold
