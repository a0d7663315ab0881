#include "engine/building/rigging.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/boolean.h"
#include "engine/structure/body.h"
#include "engine/text.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Where a hole may be drilled in a part.
PolygonSet find_room(const FlatPattern& pattern, double thickness_mm,
                     const RiggingOptions& options) {
  // A hair more, so that what is written is never less than asked for.
  PolygonSet room = make_offset({pattern.body_mm}, -options.edge_mm - 0.01);
  PolygonSet taken;
  for (const Polygon& hole : pattern.holes_mm)
    for (const Polygon& grown : make_offset({hole}, options.edge_mm)) taken.push_back(grown);
  for (const Seat& seat : pattern.seats) {
    // Without a tab the other panel's bare edge stands on the line, a board wide.
    const Vec2 along = (seat.to_mm - seat.from_mm).normalized();
    const Vec2 aside = thickness_mm / 2 * Vec2(-along.y(), along.x());
    const Polygon covered = seat.tab_mm.empty() ? Polygon{seat.from_mm - aside, seat.to_mm - aside,
                                                          seat.to_mm + aside, seat.from_mm + aside}
                                                : make_counter_clockwise(seat.tab_mm);
    if (!(along.norm() > 0.5) || !(measure_area(covered) > 0)) continue;
    for (const Polygon& grown : make_offset({covered}, options.seat_mm)) taken.push_back(grown);
  }
  return taken.empty() || room.empty() ? room : make_difference(room, taken);
}

double measure_edge(const FlatPattern& pattern, const Vec2& hole) {
  double least = distance_to_boundary(pattern.body_mm, hole);
  for (const Polygon& ring : pattern.holes_mm)
    least = std::min(least, distance_to_boundary(ring, hole));
  return least;
}

}  // namespace

Rigging make_rigging(const Design& glued, const Finished& finished, const Hanging& hanging,
                     const GlueLine& glue, const RiggingOptions& options) {
  Rigging rigging;
  if (hanging.copies.empty()) {
    rigging.fault =
        format("from %d points on the upper panels it is not held in balance", options.points);
    return rigging;
  }
  rigging.centre_mm = find_centre_of_mass(glued);
  LoadCase load_case = make_load_case(glued, Hold::hung, hanging.copies);
  load_case.mass_kg_per_m2 = glued.limits.mass_kg_per_m2;
  load_case.glue = glue;
  Vec3 mean = Vec3::Zero();
  for (Support& support : load_case.supports) {
    const CopyPlace place = find_copy(glued, support.panel);
    const FlatPattern& pattern = finished.parts[at(place.orbit)].pattern;
    const Frame frame = make_copy_frame(glued, support.panel);
    RigPoint point;
    point.copy = support.panel;
    double highest = -1e300;
    for (const Polygon& ring : find_room(pattern, glued.thickness_mm, options))
      for (const Vec2& p : ring) {
        const double height = load_case.up.dot(frame.to_space(p) - rigging.centre_mm);
        if (height > highest + 1e-6) highest = height, point.hole_mm = p;
      }
    if (highest == -1e300) {
      rigging.points.clear();
      rigging.fault = format("no place on the part is %.0f mm from every edge", options.edge_mm);
      return rigging;
    }
    point.edge_mm = measure_edge(pattern, point.hole_mm);
    point.point_mm = support.point_mm = frame.to_space(point.hole_mm);
    mean += point.point_mm - rigging.centre_mm;
    rigging.points.push_back(point);
  }
  rigging.up = load_case.up = mean.normalized();
  rigging.load = measure_load(glued, load_case);
  const bool pushed = std::any_of(rigging.load.reactions_n.begin(), rigging.load.reactions_n.end(),
                                  [](double reaction) { return reaction < 0; });
  if (!rigging.load.fault.empty() || pushed) {
    rigging.points.clear();
    rigging.fault = "tied that far from the edges it is not held in balance";
    return rigging;
  }
  rigging.tilt_deg = to_degrees(std::acos(std::clamp(rigging.up.z(), -1.0, 1.0)));
  double aside = 0, top = -1e300;
  for (const RigPoint& point : rigging.points) {
    const Vec3 way = point.point_mm - rigging.centre_mm;
    const double height = rigging.up.dot(way);
    aside = std::max(aside, (way - height * rigging.up).norm());
    top = std::max(top, height);
  }
  // High enough for every line: each point must see the ring within the lean allowed.
  double above = top + 300;
  for (const RigPoint& point : rigging.points) {
    const Vec3 way = point.point_mm - rigging.centre_mm;
    const double height = rigging.up.dot(way), out = (way - height * rigging.up).norm();
    above = std::max(above, height + out / std::tan(to_radians(options.lean_deg)));
  }
  rigging.ring_mm = rigging.centre_mm + std::ceil(above / 10) * 10 * rigging.up;
  for (std::size_t k = 0; k < rigging.points.size(); ++k) {
    RigPoint& point = rigging.points[k];
    const Vec3 line = rigging.ring_mm - point.point_mm;
    point.upward_n = rigging.load.reactions_n[k];
    point.line_mm = line.norm();
    const double steep = rigging.up.dot(line) / point.line_mm;
    point.line_n = point.upward_n / std::max(steep, 1e-6);
    rigging.most_lean_deg = std::max(rigging.most_lean_deg, to_degrees(std::acos(steep)));
  }
  return rigging;
}

}  // namespace sixtyfold
