#include "engine/shape/self_crossing.h"

#include <algorithm>
#include <cmath>

#include "engine/shape/orientation.h"

namespace sixtyfold {
namespace {

/// Where two segments meet that do; the middle of what they share where they lie on one line.
Vec2 find_meeting_point(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const Vec2 u = b - a, v = d - c;
  const double turn = u.x() * v.y() - u.y() * v.x();
  if (std::abs(turn) > 1e-12 * u.norm() * v.norm()) {
    const Vec2 w = c - a;
    return a + std::clamp((w.x() * v.y() - w.y() * v.x()) / turn, 0.0, 1.0) * u;
  }
  const double length = u.squaredNorm();
  if (!(length > 0)) return a;
  const double s = std::clamp((c - a).dot(u) / length, 0.0, 1.0);
  const double t = std::clamp((d - a).dot(u) / length, 0.0, 1.0);
  return a + (s + t) / 2 * u;
}

}  // namespace

std::optional<Vec2> find_self_crossing(const Polygon& polygon) {
  const std::size_t count = polygon.size();
  if (count < 3) return std::nullopt;
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 &a = polygon[i], &b = polygon[(i + 1) % count], &c = polygon[(i + 2) % count];
    if (a == b || ((a - b).dot(c - b) > 0 && find_orientation(a, b, c) == 0)) return b;
    for (std::size_t j = i + 2; j < count; ++j) {
      if ((j + 1) % count == i) continue;
      const Vec2& d = polygon[(j + 1) % count];
      if (segments_meet(a, b, polygon[j], d)) return find_meeting_point(a, b, polygon[j], d);
    }
  }
  return std::nullopt;
}

std::optional<Vec2> find_common_point(const Polygon& a, const Polygon& b) {
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j < b.size(); ++j) {
      const Vec2 &p = a[i], &q = a[(i + 1) % a.size()], &r = b[j], &s = b[(j + 1) % b.size()];
      if (segments_meet(p, q, r, s)) return find_meeting_point(p, q, r, s);
    }
  return std::nullopt;
}

}  // namespace sixtyfold
