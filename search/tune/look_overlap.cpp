#include "search/tune/look_overlap.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/boolean.h"
#include "search/propose/refine.h"

namespace sixtyfold {
namespace {

double measure_set_overlap(const PolygonSet& a, const PolygonSet& b) {
  const double common = measure_set_area(make_intersection(a, b));
  const double either = measure_set_area(a) + measure_set_area(b) - common;
  return either > 0 ? std::clamp(common / either, 0.0, 1.0) : 0;
}

Polygon make_moved(const Polygon& polygon, const Vec2& about, double turn, const Vec2& shift) {
  const Eigen::Rotation2Dd rotation(turn);
  Polygon moved;
  for (const Vec2& p : polygon) moved.push_back(rotation * (p - about) + about + shift);
  return moved;
}

/// The best of a measure of two polygons that lie on each other, over turns and shifts of the
/// second.
template <class Measure>
double find_best_lie(const Polygon& a, const Polygon& b, const Measure& measure) {
  const Vec2 centre = measure_centroid(b), apart = measure_centroid(a) - centre;
  const double size = measure_box(a).size().norm();
  double best = 0;
  for (const Vec2& start : {Vec2(0, 0), apart}) {
    const auto loss = [&](const UnitPoint& u) {
      const Vec2 shift = start + 0.2 * size * Vec2(u[1] - 0.5, u[2] - 0.5);
      return 1 - measure(a, make_moved(b, centre, (u[0] - 0.5) * 0.6, shift));
    };
    const double as_it_stands = 1 - loss({0.5, 0.5, 0.5});
    best = std::max(best, as_it_stands);
    if (as_it_stands > 0.9999) break;
    RefineOptions options;
    options.method = LocalMethod::nelder_mead;
    options.evaluations = 60;
    options.first_step = 0.05;
    best = std::max(best, 1 - refine(loss, {0.5, 0.5, 0.5}, options).value);
  }
  return best;
}

PolygonSet make_silhouette(const Design& design, const Vec3& direction) {
  const Frame view = make_frame(direction, 0);
  PolygonSet faces;
  for (const Orbit& orbit : design.orbits)
    for (const Mat3& copy : orbit.copies) {
      const auto see = [&](const Polygon& loop) {
        Polygon seen;
        for (const Vec2& p : loop)
          seen.push_back(view.to_plane(copy * orbit.panel.frame.to_space(p)));
        return make_counter_clockwise(std::move(seen));
      };
      Polygon face = see(orbit.panel.outline_mm);
      if (!(measure_area(face) > 1)) continue;
      faces.push_back(std::move(face));
      for (const Polygon& hole : orbit.panel.holes_mm) {
        faces.push_back(see(hole));
        std::reverse(faces.back().begin(), faces.back().end());
      }
    }
  return make_union(faces);
}

}  // namespace

Polygon make_laid(const Polygon& polygon, const Frame& from, const Frame& onto) {
  const Eigen::Quaterniond turn = Eigen::Quaterniond::FromTwoVectors(from.normal, onto.normal);
  Polygon laid;
  for (const Vec2& p : polygon)
    laid.push_back(onto.to_plane(onto.origin + turn * (from.to_space(p) - from.origin)));
  return laid;
}

double measure_overlap(const Polygon& a, const Polygon& b) { return measure_set_overlap({a}, {b}); }

double measure_best_cover(const Polygon& whole, const Polygon& part) {
  return find_best_lie(whole, part, [](const Polygon& a, const Polygon& b) {
    return std::clamp(measure_set_area(make_intersection({a}, {b})) / measure_area(a), 0.0, 1.0);
  });
}

LookOverlap measure_look_overlap(const Design& before, const Design& after) {
  const Panel &a = before.orbits.front().panel, &b = after.orbits.front().panel;
  LookOverlap look;
  look.plane_turn_deg =
      to_degrees(std::acos(std::clamp(a.frame.normal.dot(b.frame.normal), -1.0, 1.0)));
  const double radius = std::max(1e-9, measure_reach(a));
  look.distance_change = (b.frame.origin.norm() - a.frame.origin.norm()) / radius;
  look.outline_overlap =
      find_best_lie(a.outline_mm, make_laid(b.outline_mm, b.frame, a.frame), measure_overlap);
  // Three directions that no symmetry axis of a standard group comes near to.
  const Vec3 directions[] = {Vec3(0.31, 0.17, 0.93).normalized(),
                             Vec3(-0.82, 0.53, 0.21).normalized(),
                             Vec3(0.24, -0.71, -0.66).normalized()};
  look.silhouette_overlap = 0;
  for (const Vec3& direction : directions)
    look.silhouette_overlap +=
        measure_set_overlap(make_silhouette(before, direction), make_silhouette(after, direction)) /
        3;
  return look;
}

}  // namespace sixtyfold
