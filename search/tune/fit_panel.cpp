#include "search/tune/fit_panel.h"

#include <algorithm>
#include <cmath>

#include "engine/contact/trim.h"
#include "search/tune/job.h"
#include "search/tune/place_part.h"

namespace sixtyfold {
namespace {

/// Points p with normal.dot(p) = offset.
struct Line {
  Vec2 normal = Vec2::UnitX();
  double offset = 0;
};

Vec2 drop_onto(const Line& line, const Vec2& p) {
  return p - (line.normal.dot(p) - line.offset) * line.normal;
}

/// Where both lines pass; the point dropped onto the first where they hardly cross.
Vec2 find_corner(const Line& a, const Line& b, const Vec2& old) {
  const double turn = a.normal.x() * b.normal.y() - a.normal.y() * b.normal.x();
  if (std::abs(turn) < 0.1) return drop_onto(a, old);
  return {(a.offset * b.normal.y() - b.offset * a.normal.y()) / turn,
          (a.normal.x() * b.offset - b.normal.x() * a.offset) / turn};
}

/// The outline with its edges moved onto meeting lines nearer than `error_mm`.
Polygon make_snapped(const Polygon& outline, const std::vector<MeetingLine>& lines, double error_mm,
                     double& moved_mm) {
  const std::size_t count = outline.size();
  std::vector<std::optional<Line>> snapped(count);
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % count];
    double nearest = error_mm;
    if ((b - a).norm() < 4 * error_mm) continue;
    for (const MeetingLine& line : lines) {
      if (!line.exists) continue;
      const double off = std::max(std::abs(line.height_of(a)), std::abs(line.height_of(b)));
      if (off > nearest) continue;
      nearest = off;
      snapped[i] = Line{line.side, line.offset};
    }
    if (snapped[i]) moved_mm = std::max(moved_mm, nearest);
  }
  Polygon result;
  for (std::size_t i = 0; i < count; ++i) {
    const std::optional<Line>&before = snapped[(i + count - 1) % count], &after = snapped[i];
    const Vec2& old = outline[i];
    Vec2 corner = old;
    if (before && after)
      corner = find_corner(*before, *after, old);
    else if (before || after)
      corner = drop_onto(before ? *before : *after, old);
    result.push_back((corner - old).norm() <= 5 * error_mm ? corner : old);
  }
  return result;
}

}  // namespace

std::optional<FittedPanel> fit_panel(const Design& design, double error_mm) {
  Placed placed;
  const TuneJob job = make_tune_job(design, placed);
  const Frame frame = placed.variant.frame;
  FittedPanel fitted;
  const Polygon drawn =
      make_snapped(placed.outline, placed.variant.lines, error_mm, fitted.moved_mm);
  if (!is_simple(drawn) || !contains(drawn, placed.hub)) return std::nullopt;
  LabelledOutline outline;
  outline.assign(drawn);
  TrimOptions options;
  options.hub = placed.hub;
  options.coplanar_gap = job.thickness_mm;
  options.least_crossing = 1e-6;
  leave_slots(job.limits, options);
  TrimWorkspace work;
  if (trim(job.scheme, frame, placed.variant.lines, options, outline, work) != TrimStatus::clean)
    return std::nullopt;
  placed.outline = make_simplified(outline.to_polygon(), 1e-6);
  if (!are_holes_inside(placed.outline, placed.holes)) return std::nullopt;
  fitted.cut = std::max(0.0, 1 - measure_area(placed.outline) / measure_area(drawn));
  measure_placed(job, frame, placed);
  fitted.design = make_placed_design(job, design, placed);
  return fitted;
}

}  // namespace sixtyfold
