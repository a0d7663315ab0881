#include "engine/shape/arcs.h"

#include <algorithm>
#include <array>
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

namespace {

/// A stretch of curve through four points, going on before the first: the circle through three of
/// them, and what the fourth lies off it as the cubic of the way along that it calls for.
struct Stretch {
  Vec2 first, centre;
  double radius = 0, off = 0;
  std::array<double, 3> ways{};  ///< along the chords, from the first point to the others

  explicit Stretch(const std::array<Vec2, 4>& points) : first(points[0]) {
    const Vec2 a = points[1] - first, b = points[2] - first;
    // No circle: a radius that is not finite, and no corner is moved.
    centre = first + Vec2(b.y() * a.squaredNorm() - a.y() * b.squaredNorm(),
                          a.x() * b.squaredNorm() - b.x() * a.squaredNorm()) /
                         (2 * cross(a, b));
    radius = (first - centre).norm();
    double way = 0;
    for (std::size_t k = 0; k < 3; ++k) ways[k] = way += (points[k + 1] - points[k]).norm();
    const auto& [one, two, three] = ways;
    off = ((points[3] - centre).norm() - radius) / (three * (three - one) * (three - two));
  }
  /// Distance from the centre so far before the first point.
  double find_radius(double before) const {
    return radius - off * before * (before + ways[0]) * (before + ways[1]);
  }
  /// Where the line through `corner` along the unit vector `along` meets it, nearest to the corner;
  /// the corner itself when that is farther than `most`.
  Vec2 meet(const Vec2& corner, const Vec2& along, double most) const {
    const double middle = along.dot(centre - corner);
    const double aside = (corner + middle * along - centre).squaredNorm();
    Vec2 met = corner;
    for (int round = 0; round < 3; ++round) {
      const double there = find_radius((met - first).norm());
      const double half = std::sqrt(there * there - aside);
      const double way =
          std::abs(middle + half) < std::abs(middle - half) ? middle + half : middle - half;
      if (!(std::abs(way) <= most)) return corner;
      met = corner + way * along;
    }
    return met;
  }
};

}  // namespace

Polygon make_corners_true(const Polygon& outline, double most_sagitta) {
  const std::size_t n = outline.size();
  const std::vector<double> bulges = find_bulges(outline, most_sagitta);
  Polygon mended = outline;
  const auto at = [n](std::size_t i, int step) {
    return (i + n + static_cast<std::size_t>(static_cast<int>(n) + step)) % n;
  };
  for (std::size_t i = 0; i < n; ++i) {
    // A cut on one side, a curve of at least four more points on the other.
    for (const int way : {1, -1}) {
      const auto edge = [&](int k) { return bulges[way > 0 ? at(i, k) : at(i, -k - 1)]; };
      if (edge(-1) != 0 || edge(0) == 0 || edge(1) == 0 || edge(2) == 0 || edge(3) == 0) continue;
      if (edge(1) * edge(2) < 0 || edge(1) * edge(3) < 0) continue;
      const Vec2 &corner = outline[i], &before = outline[at(i, -way)];
      const std::array<Vec2, 4> curve = {outline[at(i, way)], outline[at(i, 2 * way)],
                                         outline[at(i, 3 * way)], outline[at(i, 4 * way)]};
      const Vec2 along = (corner - before).normalized();
      const double sagitta = std::abs(edge(1)) * (curve[1] - curve[0]).norm() / 2;
      // The chord it lies on was about as long as the next one.
      const Vec2 chord = (curve[0] - corner).normalized();
      const double sine = std::abs(cross(along, chord));
      if (sine < 0.1) continue;
      mended[i] = Stretch(curve).meet(corner, along, std::min(1.5 * sagitta / sine, most_sagitta));
    }
  }
  return is_simple(mended) ? mended : outline;
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
    if (!(step > 0)) continue;  // so flat that it is its chord
    const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(angle) / step)));
    for (int k = 1; k < steps; ++k)
      flat.push_back(centre + Eigen::Rotation2Dd(angle * k / steps) * (from - centre));
  }
  return flat;
}

}  // namespace sixtyfold
