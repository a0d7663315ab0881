#include "engine/shape/window.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/boolean.h"
#include "engine/shape/self_crossing.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_windows = 32, most_window_points = 600;

bool are_near(const Polygon& a, const Polygon& b, double gap) {
  const Box one = measure_box(a), other = measure_box(b);
  const Vec2 apart = (one.low - other.high).cwiseMax(other.low - one.high).cwiseMax(0);
  if (apart.norm() >= gap) return false;
  const auto comes_near = [gap](const Polygon& from, const Polygon& to) {
    return std::any_of(from.begin(), from.end(),
                       [&](const Vec2& p) { return distance_to_boundary(to, p) < gap; });
  };
  return comes_near(a, b) || comes_near(b, a);
}

/// Where the centre of a disc of the corner's radius can be, and so the disc: the same as what is
/// inside the frame and outside the strips, opened by the disc.
PolygonSet find_openings(const PolygonSet& centres, const PolygonSet& kept,
                         const WindowOptions& options) {
  return make_round_offset(make_difference(centres, kept), options.corner_mm, options.chord_mm / 2);
}

bool has_islands(const PolygonSet& openings) {
  return std::any_of(openings.begin(), openings.end(),
                     [](const Polygon& loop) { return measure_area(loop) < 0; });
}

/// The strip's line right across the part, as wide as a bridge.
KeptStrip make_bridge(const KeptStrip& strip, double length_mm, double width_mm) {
  const Vec2 along = strip.to_mm - strip.from_mm;
  const Vec2 reach = along.norm() > 0 ? Vec2(along.normalized() * length_mm) : Vec2(Vec2::Zero());
  return {strip.from_mm - reach, strip.to_mm + reach, width_mm / 2};
}

}  // namespace

std::string find_window_fault(const Polygon& outline_mm, std::span<const Polygon> windows_mm,
                              std::size_t& window) {
  for (window = 0; window < windows_mm.size(); ++window) {
    const Polygon& one = windows_mm[window];
    if (!contains(outline_mm, one.front()) || find_common_point(one, outline_mm))
      return "leaves the outline; holes lie inside";
    for (std::size_t other = 0; other < window; ++other)
      if (find_common_point(one, windows_mm[other]) || contains(one, windows_mm[other].front()) ||
          contains(windows_mm[other], one.front()))
        return "meets hole " + std::to_string(other) + "; holes lie apart from each other";
  }
  return "";
}

double find_least_frame(double thickness_mm, double min_width_mm) {
  constexpr double for_rounding_mm = 1;  // chords, and what is set back at corners
  return std::max(6 * thickness_mm, min_width_mm + for_rounding_mm);
}

std::vector<Polygon> cut_windows(const Polygon& outline_mm, std::span<const KeptStrip> strips,
                                 const WindowOptions& options) {
  const double corner = options.corner_mm, chord = options.chord_mm / 2;
  const PolygonSet centres = make_round_offset({outline_mm}, -options.frame_mm - corner, chord);
  if (centres.empty()) return {};
  PolygonSet kept;
  const auto keep = [&](const KeptStrip& strip) {
    kept.push_back(make_capsule(strip.from_mm, strip.to_mm, strip.half_mm + corner, chord));
  };
  for (const KeptStrip& strip : strips) keep(strip);
  PolygonSet openings = find_openings(centres, kept, options);
  if (has_islands(openings)) {
    const double length = measure_box(outline_mm).size().norm();
    for (const KeptStrip& strip : strips) keep(make_bridge(strip, length, options.bridge_mm));
    openings = find_openings(centres, kept, options);
  }
  std::vector<Polygon> found;
  for (const Polygon& loop : openings) {
    if (!(measure_area(loop) >= options.least_area_mm2)) continue;
    const bool holds_island =
        std::any_of(openings.begin(), openings.end(), [&](const Polygon& other) {
          return measure_area(other) < 0 && contains(loop, other.front());
        });
    if (holds_island) continue;
    Polygon window = make_simplified(loop, chord);
    if (window.size() >= 3 && is_simple(window)) found.push_back(std::move(window));
  }
  // Strips that meet at a point may leave less than a bridge between the ends of two windows.
  constexpr double alike = 1e-3;      // of the area
  constexpr double beside_mm = 0.15;  // two windows along one bridge are as far apart as it is wide
  std::vector<Polygon> windows;
  std::size_t points = 0;
  for (const Polygon& window : found) {
    const bool gives_way = std::any_of(found.begin(), found.end(), [&](const Polygon& other) {
      return &other != &window && measure_area(other) > (1 - alike) * measure_area(window) &&
             are_near(window, other, options.bridge_mm - beside_mm);
    });
    if (gives_way) continue;
    windows.push_back(window);
    points += window.size();
  }
  if (windows.size() > most_windows || points > most_window_points) windows.clear();
  return windows;
}

}  // namespace sixtyfold
