#include "engine/shape/arcs.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

constexpr double most_turn = 20 * pi / 180;
constexpr double most_stretch = 2.2;

/// What an outline does at one corner.
struct Bend {
  double turn = 0;       ///< to the left
  double curvature = 0;  ///< of the circle through it and its neighbours, positive to the left
};

}  // namespace

double find_arc_radius(double length, double bulge) {
  return length * (1 + bulge * bulge) / (4 * std::abs(bulge));
}

std::vector<double> find_bulges(const Polygon& outline, double most_sagitta) {
  const std::size_t n = outline.size();
  std::vector<double> bulges(n, 0);
  if (n < 6) return bulges;
  const auto next = [n](std::size_t i) { return i + 1 < n ? i + 1 : 0; };
  const auto before = [n](std::size_t i) { return i > 0 ? i - 1 : n - 1; };
  std::vector<Bend> bends(n);
  std::vector<double> lengths(n);
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 in = outline[i] - outline[before(i)], out = outline[next(i)] - outline[i];
    const double chord = (in + out).norm();
    bends[i].turn = std::atan2(cross(in, out), in.dot(out));
    lengths[i] = out.norm();
    // 2 sin(turn) / chord: the law of sines in the triangle of the three points.
    if (chord > 0 && lengths[i] > 0)
      bends[i].curvature = 2 * cross(in, out) / (in.norm() * lengths[i] * chord);
  }
  const auto is_smooth = [&](std::size_t i) { return std::abs(bends[i].turn) <= most_turn; };
  // A cut meets a curve on one of its chords. Beside such a corner the curve goes on as before.
  const std::vector<Bend> measured = bends;
  const auto is_within = [&](std::size_t i) {
    return is_smooth(i) && is_smooth(before(i)) && is_smooth(next(i));
  };
  for (std::size_t i = 0; i < n; ++i) {
    if (!is_smooth(i) || is_within(i)) continue;
    for (const std::size_t inner : {before(i), next(i)})
      if (is_within(inner) && measured[inner].curvature * measured[i].curvature > 0)
        bends[i].curvature = measured[inner].curvature;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t end = next(i);
    if (!is_smooth(i) && !is_smooth(end)) continue;
    // An edge beside a real corner goes on as the curve does that it belongs to, if it is one.
    if (!is_smooth(i) && !is_smooth(next(end))) continue;
    if (!is_smooth(end) && !is_smooth(before(i))) continue;
    if (lengths[i] > most_stretch * std::max(lengths[before(i)], lengths[end])) continue;
    const double curvature = is_smooth(i) && is_smooth(end)
                                 ? (bends[i].curvature + bends[end].curvature) / 2
                             : is_smooth(i) ? bends[i].curvature
                                            : bends[end].curvature;
    const double sine = curvature * lengths[i] / 2;  // of half the arc's angle
    if (!(std::abs(sine) < 0.5) || sine == 0) continue;
    const double bulge = std::tan(std::asin(sine) / 2);
    if (std::abs(bulge) * lengths[i] / 2 > most_sagitta) continue;
    bulges[i] = bulge;
  }
  return bulges;
}

Polygon make_flattened(const Polygon& outline, const std::vector<double>& bulges,
                       double tolerance) {
  assert(bulges.size() == outline.size() && tolerance > 0);
  Polygon flat;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &from = outline[i], &to = outline[i + 1 < outline.size() ? i + 1 : 0];
    flat.push_back(from);
    if (bulges[i] == 0) continue;
    const Vec2 chord = to - from;
    const double radius = find_arc_radius(chord.norm(), bulges[i]);
    const double angle = 4 * std::atan(bulges[i]);  // of the whole arc, signed
    // The centre lies on the left of an arc that runs counter-clockwise.
    const Vec2 left(-chord.y(), chord.x());
    const Vec2 centre = (from + to) / 2 + left / (2 * std::tan(angle / 2));
    const double step = 2 * std::acos(std::max(0.0, 1 - tolerance / radius));
    const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(angle) / step)));
    for (int k = 1; k < steps; ++k)
      flat.push_back(centre + Eigen::Rotation2Dd(angle * k / steps) * (from - centre));
  }
  return flat;
}

}  // namespace sixtyfold
