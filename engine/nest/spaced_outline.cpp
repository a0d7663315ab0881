#include "engine/nest/spaced_outline.h"

#include "engine/shape/clipper_paths.h"

namespace sixtyfold {

namespace {

constexpr double units_per_mm = 1e5;
constexpr double withheld_mm = 4e-4;
/// Segments of the convolution behind a no-fit region (engine/nest/no_fit.h) that are worth it:
/// parts that people cut have a few hundred.
constexpr double most_segments = 3000;

/// The largest of the outer boundaries.
Polygon find_largest(const ClipperLib::Paths& paths) {
  const ClipperLib::Path* largest = nullptr;
  double most = 0;
  for (const ClipperLib::Path& path : paths)
    if (const double area = ClipperLib::Area(path); area > most) most = area, largest = &path;
  return largest ? from_path(*largest, units_per_mm) : Polygon{};
}

Polygon make_grown(const ClipperLib::Paths& paths, double distance_mm) {
  ClipperLib::ClipperOffset offset(2.0);
  offset.AddPaths(paths, ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
  ClipperLib::Paths grown;
  offset.Execute(grown, distance_mm * units_per_mm);
  return find_largest(grown);
}

/// About how many segments the convolution of an outline with its like has: each edge of the one
/// appears at every corner of the other that turns past its direction.
double count_segments(const Polygon& polygon) {
  double turning = 0;
  const std::size_t count = polygon.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 in = polygon[i] - polygon[(i + count - 1) % count];
    const Vec2 out = polygon[(i + 1) % count] - polygon[i];
    turning += std::abs(std::atan2(cross(in, out), in.dot(out)));
  }
  return turning / pi * static_cast<double>(count);
}

ClipperLib::Paths make_clean(const Polygon& polygon) {
  ClipperLib::Clipper clipper;
  clipper.AddPath(to_path(polygon, units_per_mm), ClipperLib::ptSubject, true);
  ClipperLib::Paths clean;
  clipper.Execute(ClipperLib::ctUnion, clean, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
  return clean;
}

Polygon make_spaced_hull(const Polygon& outline, double gap_mm) {
  return make_grown(make_clean(make_convex_hull(outline)), gap_mm / 2 - withheld_mm);
}

}  // namespace

Polygon make_spaced_outline(const Polygon& outline, const SpacingOptions& options) {
  const Polygon ordered = make_counter_clockwise(outline);
  Polygon spaced = make_grown(make_clean(ordered), options.gap_mm / 2 - withheld_mm);
  if (spaced.size() <= options.corners) return spaced;
  // Every point of the outline lies within the tolerance of the simplified one, so growing that by
  // the tolerance more covers it.
  for (double tolerance = options.tolerance_mm / 8; tolerance <= 64 * options.tolerance_mm;
       tolerance *= 2) {
    spaced = make_grown(make_clean(make_simplified(ordered, tolerance)),
                        options.gap_mm / 2 - withheld_mm + tolerance);
    if (spaced.size() <= options.corners) break;
    if (tolerance > options.tolerance_mm / 2 && spaced.size() <= 2 * options.corners) break;
  }
  if (count_segments(spaced) > most_segments) return make_spaced_hull(ordered, options.gap_mm);
  return spaced;
}

}  // namespace sixtyfold
