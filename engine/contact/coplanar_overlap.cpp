#include "engine/contact/coplanar_overlap.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/shape/clipper_paths.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

constexpr double clipper_units_per_mm = 1e5;
constexpr int lines = 256;
constexpr std::size_t few_crossings = 100'000;  ///< that Clipper is quick with

std::size_t count_corners(const std::vector<Polygon>& loops) {
  std::size_t count = 0;
  for (const Polygon& loop : loops) count += loop.size();
  return count;
}

/// Where each of the lines y = low + (k + 1/2) step goes into and out of the loops, ascending.
std::vector<std::vector<double>> find_crossings(const std::vector<Polygon>& loops, double low,
                                                double step) {
  std::vector<std::vector<double>> crossings(lines);
  for (const Polygon& loop : loops)
    for (std::size_t i = 0; i < loop.size(); ++i) {
      Vec2 p = loop[i], q = loop[i + 1 == loop.size() ? 0 : i + 1];
      if (p.y() > q.y()) std::swap(p, q);
      const double first = std::ceil((p.y() - low) / step - 0.5);
      for (double k = std::max(first - 1, 0.0); k < lines; ++k) {  // one early: rounding
        const double y = low + (k + 0.5) * step;
        if (!(p.y() <= y)) continue;
        if (!(y < q.y())) break;
        crossings[static_cast<std::size_t>(k)].push_back(p.x() + (y - p.y()) / (q.y() - p.y()) *
                                                                     (q.x() - p.x()));
      }
    }
  for (auto& row : crossings) std::sort(row.begin(), row.end());
  return crossings;
}

/// By lines across what both reach over.
Overlap measure_by_lines(const std::vector<Polygon>& a, const std::vector<Polygon>& b) {
  constexpr double endless = std::numeric_limits<double>::infinity();
  double low = -endless, high = endless;
  for (const auto* loops : {&a, &b}) {
    double lowest = endless, highest = -endless;
    for (const Polygon& loop : *loops)
      for (const Vec2& p : loop)
        lowest = std::min(lowest, p.y()), highest = std::max(highest, p.y());
    low = std::max(low, lowest), high = std::min(high, highest);
  }
  Overlap overlap;
  if (!(high > low)) return overlap;
  const double step = (high - low) / lines;
  const auto first = find_crossings(a, low, step), second = find_crossings(b, low, step);
  double longest = 0;
  for (std::size_t k = 0; k < first.size(); ++k) {
    const auto &mine = first[k], &theirs = second[k];
    for (std::size_t i = 0, j = 0; i + 1 < mine.size() && j + 1 < theirs.size();) {
      const double from = std::max(mine[i], theirs[j]), to = std::min(mine[i + 1], theirs[j + 1]);
      if (to > from) overlap.area_mm2 += (to - from) * step;
      if (to - from > longest) {
        longest = to - from;
        overlap.place_mm = {(from + to) / 2, low + (static_cast<double>(k) + 0.5) * step};
      }
      if (mine[i + 1] < theirs[j + 1])
        i += 2;
      else
        j += 2;
    }
  }
  return overlap;
}

}  // namespace

std::optional<Overlap> find_overlap(const std::vector<Polygon>& a, const std::vector<Polygon>& b) {
  if (count_corners(a) * count_corners(b) > few_crossings) {
    const Overlap overlap = measure_by_lines(a, b);
    double least = std::numeric_limits<double>::infinity();
    for (const auto* loops : {&a, &b})
      least = std::min(least, std::abs(measure_area(loops->front())));
    if (overlap.area_mm2 > 0.01 * least) return overlap;
  }
  ClipperLib::Clipper clipper;
  for (const Polygon& loop : a)
    clipper.AddPath(to_path(loop, clipper_units_per_mm), ClipperLib::ptSubject, true);
  for (const Polygon& loop : b)
    clipper.AddPath(to_path(loop, clipper_units_per_mm), ClipperLib::ptClip, true);
  ClipperLib::Paths common;
  clipper.Execute(ClipperLib::ctIntersection, common, ClipperLib::pftEvenOdd,
                  ClipperLib::pftEvenOdd);
  // A strip of the contact band's width is a touch: shrink by half the band.
  ClipperLib::ClipperOffset offset;
  offset.AddPaths(common, ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
  ClipperLib::Paths shrunk;
  offset.Execute(shrunk, -contact_band_mm / 2 * clipper_units_per_mm);
  double area = 0;
  for (const auto& path : shrunk) area += ClipperLib::Area(path);
  area /= clipper_units_per_mm * clipper_units_per_mm;
  if (!(area > 0)) return std::nullopt;
  return Overlap{area, from_grid(shrunk.front().front(), clipper_units_per_mm)};
}

}  // namespace sixtyfold
