#include "engine/nest/no_fit_table.h"

#include <algorithm>
#include <cmath>

#include "engine/nest/no_fit.h"

namespace sixtyfold {

Attitude make_relative(const Attitude& base, const Attitude& other) {
  // Turning over changes the sense of the angles.
  const double turn = other.rotation_rad - base.rotation_rad;
  return {base.turned_over ? -turn : turn, base.turned_over != other.turned_over};
}

const std::vector<Polygon>& NoFitTable::find(const Attitude& relative) {
  for (const Entry& entry : entries_)
    if (entry.relative.turned_over == relative.turned_over &&
        std::abs(std::remainder(entry.relative.rotation_rad - relative.rotation_rad, 2 * pi)) <
            1e-12)
      return entry.region;
  Polygon moved;
  for (const Vec2& p : spaced_) moved.push_back(relative.apply(p));
  if (relative.turned_over) std::reverse(moved.begin(), moved.end());
  entries_.push_back({relative, make_no_fit(spaced_, moved)});
  return entries_.back().region;
}

std::vector<Polygon> NoFitTable::find(const Attitude& fixed, const Attitude& moved) {
  std::vector<Polygon> region = find(make_relative(fixed, moved));
  const double c = std::cos(fixed.rotation_rad), s = std::sin(fixed.rotation_rad);
  for (Polygon& polygon : region) {
    for (Vec2& p : polygon) {
      const double x = fixed.turned_over ? -p.x() : p.x();
      p = {c * x - s * p.y(), s * x + c * p.y()};
    }
    if (fixed.turned_over) std::reverse(polygon.begin(), polygon.end());
  }
  return region;
}

}  // namespace sixtyfold
