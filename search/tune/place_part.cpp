#include "search/tune/place_part.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>

#include "engine/contact/blunt.h"
#include "engine/contact/trim.h"
#include "engine/shape/hub.h"
#include "engine/shape/window.h"
#include "engine/text.h"

namespace sixtyfold {
namespace {

void check_placing(const PartPlacing& placing) {
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
}

OrbitScheme make_scheme(const PartPlacing& placing) {
  const auto group = std::make_shared<const PointGroup>(make_point_group(placing.symmetry));
  return make_orbit_scheme(group, placing.normal.normalized(), placing.distance_mm == 0,
                           OnAxis::own_sector);
}

/// The corner of a hole farthest outside the outline; nothing where all lie inside.
const Vec2* find_corner_outside(const Polygon& outline, const std::vector<Polygon>& holes) {
  const Vec2* worst = nullptr;
  double farthest = 0;
  for (const Polygon& hole : holes)
    for (const Vec2& p : hole)
      if (!contains(outline, p))
        if (const double out = distance_to_boundary(outline, p); !worst || out > farthest) {
          worst = &p;
          farthest = out;
        }
  return worst;
}

/// Where on the drawing a point of its plane lies, from the drawing's lower left corner.
Vec2 find_on_drawing(const OwnPart& part, const PartPlacing& placing, const Vec2& point) {
  const Eigen::Rotation2Dd turn(to_radians(placing.turn_deg));
  const Vec2 drawn = turn.inverse() * (point - placing.shift_mm) / placing.scale;
  return drawn - measure_box(part.outline_mm).low;
}

Design make_bare_design(const OrbitScheme& scheme, const PartPlacing& placing,
                        const Limits& limits) {
  Design design;
  design.symmetry = design.recipe.symmetry = placing.symmetry;
  design.thickness_mm = limits.thickness_mm;
  design.limits = limits;
  design.orbits.resize(1);
  design.orbits[0].panel.frame = make_frame(placing.normal, placing.distance_mm);
  for (const int element : scheme.copies)
    design.orbits[0].copies.push_back(scheme.group->elements[static_cast<std::size_t>(element)]);
  return design;
}

}  // namespace

bool are_holes_inside(const Polygon& outline, const std::vector<Polygon>& holes) {
  std::size_t at = 0;
  return find_window_fault(outline, holes, at).empty();
}

OwnPart make_laid_part(const OwnPart& part, const PartPlacing& placing) {
  check_placing(placing);
  const Eigen::Rotation2Dd turn(to_radians(placing.turn_deg));
  OwnPart laid = part;
  const auto move = [&](Polygon& polygon) {
    for (Vec2& p : polygon) p = placing.scale * (turn * p) + placing.shift_mm;
  };
  move(laid.outline_mm);
  for (Polygon& hole : laid.holes_mm) move(hole);
  return laid;
}

Design make_drawn_design(const OwnPart& part, const PartPlacing& placing, const Limits& limits) {
  OwnPart laid = make_laid_part(part, placing);
  Design design = make_bare_design(make_scheme(placing), placing, limits);
  design.orbits[0].panel.outline_mm = std::move(laid.outline_mm);
  design.orbits[0].panel.holes_mm = std::move(laid.holes_mm);
  return design;
}

PlacedPart place_part(const OwnPart& part, const PartPlacing& placing, const Limits& limits) {
  OwnPart laid = make_laid_part(part, placing);
  const OrbitScheme scheme = make_scheme(placing);
  PlacedPart placed;
  placed.design = make_bare_design(scheme, placing, limits);
  Panel& panel = placed.design.orbits[0].panel;
  std::vector<MeetingLine> lines;
  find_meeting_lines(scheme, panel.frame, lines);
  LabelledOutline outline, scratch;
  outline.assign(laid.outline_mm);
  TrimOptions options;
  options.hub = find_hub(laid.outline_mm);
  double radius = 0;
  for (const Vec2& p : laid.outline_mm) radius = std::max(radius, (p - options.hub).norm());
  options.coplanar_gap = 0.03 * radius;
  options.least_crossing = 1e-6;
  leave_slots(limits, options);
  TrimWorkspace work;
  if (trim(scheme, panel.frame, lines, options, outline, work) != TrimStatus::clean)
    throw std::invalid_argument(
        "copies of the part collide right at its middle in this place; try another distance, "
        "normal, turn or shift, or leave one out to have it searched");
  outline.drop_short_edges(1e-7 * radius);
  const double drawn = measure_area(laid.outline_mm), trimmed = outline.area();
  if (blunt_tips(outline, limits.min_width_mm, scratch) > 0)
    placed.blunted = (trimmed - outline.area()) / drawn;
  panel.outline_mm = make_simplified(outline.to_polygon(), 1e-6);
  if (const Vec2* corner = find_corner_outside(panel.outline_mm, laid.holes_mm)) {
    const Vec2 at = find_on_drawing(part, placing, *corner);
    throw std::invalid_argument(format(
        "trimming the part in this place would cut %.0f mm into its hole near x = %.0f mm, y = "
        "%.0f mm from the lower left corner of the part; draw the hole further in, or leave "
        "--turn, --shift or --distance out to have another place searched",
        distance_to_boundary(panel.outline_mm, *corner), at.x(), at.y()));
  }
  std::size_t number = 0;
  if (const std::string fault = find_window_fault(panel.outline_mm, laid.holes_mm, number);
      !fault.empty()) {
    const Vec2 at = find_on_drawing(part, placing, measure_centroid(laid.holes_mm[number]));
    throw std::invalid_argument(format(
        "with the part trimmed in this place its hole about x = %.0f mm, y = %.0f mm from the "
        "lower left corner of the part %s; or leave --turn, --shift or --distance out to have "
        "another place searched",
        at.x(), at.y(), fault.c_str()));
  }
  panel.holes_mm = std::move(laid.holes_mm);
  placed.kept = std::min(1.0, measure_area(panel.outline_mm) / drawn);
  placed.drawn_mm = std::move(laid.outline_mm);
  return placed;
}

}  // namespace sixtyfold
