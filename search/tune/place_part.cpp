#include "search/tune/place_part.h"

#include <cmath>
#include <memory>
#include <stdexcept>

#include "engine/contact/trim.h"
#include "engine/shape/hub.h"
#include "engine/text.h"

namespace sixtyfold {

PlacedPart place_part(const Polygon& outline_mm, const std::vector<Polygon>& holes_mm,
                      const PartPlacing& placing, const Limits& limits) {
  const double length = placing.normal.norm();
  if (!(length > 1e-9 && length < 1e9))
    throw std::invalid_argument("the normal of the part's plane has no direction");
  if (!(0 <= placing.distance_mm && placing.distance_mm <= 1e5))
    throw std::invalid_argument(
        format("the plane's distance from the centre is %g mm; it must lie from 0 to 100 m",
               placing.distance_mm));
  if (!(1e-3 <= placing.scale && placing.scale <= 1e3))
    throw std::invalid_argument(
        format("the scale is %g; it must lie from 0.001 to 1000", placing.scale));
  const auto group = std::make_shared<const PointGroup>(make_point_group(placing.symmetry));
  const OrbitScheme scheme = make_orbit_scheme(group, placing.normal / length,
                                               placing.distance_mm == 0, OnAxis::own_sector);
  const Frame frame = make_frame(placing.normal, placing.distance_mm);
  const Eigen::Rotation2Dd turn(to_radians(placing.turn_deg));
  const auto move = [&](const Polygon& polygon) {
    Polygon moved;
    for (const Vec2& p : polygon) moved.push_back(placing.scale * (turn * p) + placing.shift_mm);
    return moved;
  };
  const Polygon drawn = move(outline_mm);
  const Vec2 hub = find_hub(drawn);
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, frame, lines);
  LabelledOutline outline;
  outline.assign(drawn);
  TrimOptions options;
  options.hub = hub;
  options.coplanar_gap = limits.thickness_mm;
  options.least_crossing = 1e-6;
  leave_slots(limits, options);
  TrimWorkspace work;
  if (trim(scheme, frame, lines, options, outline, work) != TrimStatus::clean)
    throw std::invalid_argument(
        "copies of the part collide right at its middle in this place; try another distance, "
        "normal or shift");

  PlacedPart placed;
  Design& design = placed.design;
  design.symmetry = placing.symmetry;
  design.thickness_mm = limits.thickness_mm;
  design.limits = limits;
  design.recipe.symmetry = placing.symmetry;
  Orbit orbit;
  orbit.panel.frame = frame;
  orbit.panel.outline_mm = make_simplified(outline.to_polygon(), 1e-6);
  for (const Polygon& hole : holes_mm) {
    orbit.panel.holes_mm.push_back(move(hole));
    for (const Vec2& p : orbit.panel.holes_mm.back())
      if (!contains(orbit.panel.outline_mm, p))
        throw std::invalid_argument(
            "trimming the part in this place would cut into one of its holes");
  }
  for (const int element : scheme.copies)
    orbit.copies.push_back(group->elements[static_cast<std::size_t>(element)]);
  placed.trimmed = 1 - measure_area(orbit.panel.outline_mm) / measure_area(drawn);
  design.orbits.push_back(std::move(orbit));
  return placed;
}

}  // namespace sixtyfold
