#pragma once
// How much of a design's look another one keeps, as numbers.

#include "engine/design.h"

namespace sixtyfold {

struct LookOverlap {
  /// Area common to both outlines over the area of either, after the best turn and shift in the
  /// plane (found by a local search from as they stand and from centroid on centroid).
  double outline_overlap = 1;
  double plane_turn_deg = 0;   ///< between the normals
  double distance_change = 0;  ///< of the plane from the centre, as a share of the radius
  /// Area common to both silhouettes over the area of either, the mean of three directions.
  double silhouette_overlap = 1;

  /// The number that --keep-look bounds: the smaller of the two overlaps.
  double kept() const {
    return outline_overlap < silhouette_overlap ? outline_overlap : silhouette_overlap;
  }
};

/// A polygon of one plane laid into another: turned about the line in which the planes' normals
/// differ, the shorter way, and dropped onto it.
Polygon make_laid(const Polygon& polygon, const Frame& from, const Frame& onto);

/// Area of the intersection over area of the union, as they lie.
double measure_overlap(const Polygon& a, const Polygon& b);

/// Share of `whole` that `part` covers, after the best turn and shift of it.
double measure_best_cover(const Polygon& whole, const Polygon& part);

/// The designs' first orbits are compared.
LookOverlap measure_look_overlap(const Design& before, const Design& after);

}  // namespace sixtyfold
