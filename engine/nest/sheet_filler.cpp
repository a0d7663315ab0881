#include "engine/nest/sheet_filler.h"

#include "engine/nest/no_fit.h"
#include "engine/shape/clipper_paths.h"

namespace sixtyfold {

namespace {

using ClipperLib::IntPoint;
using ClipperLib::Path;
using ClipperLib::Paths;

// Positions may lie this far outside the room: what fits exactly would otherwise have no area left.
constexpr double room_slack_mm = 5e-4;
// Corners of all parts' no-fit regions beyond which a started sheet is left as it is: of hundreds
// of small parts the rows leave little, and the regions' union would take minutes.
constexpr std::size_t most_taken_corners = 40'000;

Paths make_moved(const Paths& paths, const IntPoint& by) {
  Paths moved = paths;
  for (Path& path : moved)
    for (IntPoint& p : path) p.X += by.X, p.Y += by.Y;
  return moved;
}

void subtract(Paths& from, const Paths& what) {
  if (from.empty()) return;
  ClipperLib::Clipper clipper;
  clipper.AddPaths(from, ClipperLib::ptSubject, true);
  clipper.AddPaths(what, ClipperLib::ptClip, true);
  Paths rest;
  clipper.Execute(ClipperLib::ctDifference, rest, ClipperLib::pftEvenOdd, ClipperLib::pftNonZero);
  from = std::move(rest);
}

}  // namespace

SheetFiller::SheetFiller(const Polygon& outline, NoFitTable& table, std::vector<Attitude> attitudes,
                         const Box& room)
    : table_(table),
      attitudes_(std::move(attitudes)),
      no_fit_(attitudes_.size() * attitudes_.size()),
      free_(attitudes_.size()),
      room_(room) {
  for (const Attitude& attitude : attitudes_) {
    Polygon turned;
    for (const Vec2& p : outline) turned.push_back(attitude.apply(p));
    boxes_.push_back(measure_box(turned));
  }
}

const Paths& SheetFiller::no_fit(std::size_t fixed, std::size_t moved) {
  Paths& paths = no_fit_[fixed * attitudes_.size() + moved];
  if (paths.empty())
    for (const Polygon& polygon : table_.find(attitudes_[fixed], attitudes_[moved]))
      paths.push_back(to_path(polygon, no_fit_units_per_mm));
  return paths;
}

void SheetFiller::start(const std::vector<FilledPart>& parts) {
  parts_ = parts;
  for (std::size_t a = 0; a < attitudes_.size(); ++a) {
    free_[a].clear();
    const Vec2 low = room_.low - boxes_[a].low - Vec2::Constant(room_slack_mm);
    const Vec2 high = room_.high - boxes_[a].high + Vec2::Constant(room_slack_mm);
    if (!(low.x() < high.x() && low.y() < high.y())) continue;
    free_[a] = {
        to_path({low, {high.x(), low.y()}, high, {low.x(), high.y()}}, no_fit_units_per_mm)};
    Paths taken;
    for (const FilledPart& part : parts)
      for (Path& path :
           make_moved(no_fit(part.attitude, a), to_grid(part.position, no_fit_units_per_mm)))
        taken.push_back(std::move(path));
    std::size_t corners = 0;
    for (const Path& path : taken) corners += path.size();
    if (corners > most_taken_corners)
      free_[a].clear();
    else if (!taken.empty())
      subtract(free_[a], taken);
  }
}

void SheetFiller::take(const FilledPart& part) {
  parts_.push_back(part);
  for (std::size_t a = 0; a < attitudes_.size(); ++a)
    if (!free_[a].empty())
      subtract(free_[a],
               make_moved(no_fit(part.attitude, a), to_grid(part.position, no_fit_units_per_mm)));
}

void SheetFiller::fill(const FillOrder& order, std::size_t most) {
  while (parts_.size() < most) {
    FilledPart best;
    double least = 0;
    bool found = false;
    for (std::size_t a = 0; a < free_.size(); ++a)
      for (const Path& path : free_[a])
        for (const IntPoint& p : path) {
          const Vec2 at = from_grid(p, no_fit_units_per_mm);
          // Compare by where the part's box lies, not its origin.
          const double value = order.direction.dot(at + boxes_[a].low) +
                               0.25 * order.direction.dot(boxes_[a].size());
          if (found && !(value < least - 1e-9)) continue;
          found = true;
          least = value;
          best = {at, a};
        }
    if (!found) return;
    take(best);
  }
}

}  // namespace sixtyfold
