#pragma once
// Dividers of a crate: halved slots all along one direction.

#include <algorithm>

#include "engine/contact/rebuild.h"
#include "engine/design.h"

namespace sixtyfold {

/// m x n dividers of a crate, crossing at right angles every 100 mm: those along x end at the top
/// of each crossing, those along y at its bottom. The first `turned` crossings on the diagonal are
/// the other way up.
inline Design make_crate(int m, int n, int turned) {
  const double spacing = 100, half = 40, more = 30;
  Design design;
  design.symmetry = "C1";
  design.thickness_mm = design.limits.thickness_mm = 4;
  design.limits.joints_by = JointsBy::slot;
  const auto add = [&](int count, int crossed, int number, bool along_x) {
    const double place = spacing * (number - (count - 1) / 2.0),
                 length = spacing * (crossed - 1) / 2.0 + 50;
    const double low = along_x ? -half - more : -half, high = along_x ? half : half + more;
    Polygon flat{{-length, low}};
    const bool here = number < turned;
    const double at_crossing = spacing * (number - (crossed - 1) / 2.0);
    const double other_low = along_x ? -half : -half - more,
                 other_high = along_x ? half + more : half;
    const double a = at_crossing - 20, b = at_crossing + 20;
    if (here)
      for (const Vec2& p : {Vec2(a, low), Vec2(a, other_low), Vec2(b, other_low), Vec2(b, low)})
        flat.push_back(p);
    flat.push_back({length, low});
    flat.push_back({length, high});
    if (here)
      for (const Vec2& p : {Vec2(b, high), Vec2(b, other_high), Vec2(a, other_high), Vec2(a, high)})
        flat.push_back(p);
    flat.push_back({-length, high});
    Orbit orbit;
    const Vec3 normal = along_x ? Vec3::UnitY() : Vec3::UnitX();  // away from the centre
    orbit.panel.frame = make_frame(place < 0 ? Vec3(-normal) : normal, std::abs(place));
    for (const Vec2& p : flat) {
      const Vec3 space = along_x ? Vec3(p.x(), place, p.y()) : Vec3(place, p.x(), p.y());
      orbit.panel.outline_mm.push_back(orbit.panel.frame.to_plane(space));
    }
    if (measure_area(orbit.panel.outline_mm) < 0)
      std::reverse(orbit.panel.outline_mm.begin(), orbit.panel.outline_mm.end());
    orbit.copies = {Mat3::Identity()};
    design.orbits.push_back(orbit);
  };
  for (int i = 0; i < m; ++i) add(m, n, i, true);
  for (int k = 0; k < n; ++k) add(n, m, k, false);
  design.joints = rebuild(design).joints;
  return design;
}

}  // namespace sixtyfold
