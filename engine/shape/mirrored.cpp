#include "engine/shape/mirrored.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

Vec2 place(double angle, double radius) { return radius * Vec2(std::cos(angle), std::sin(angle)); }

/// Distance from the origin at which the segment meets the ray at an angle it passes.
double meet_ray(const Vec2& from, const Vec2& to, double angle) {
  const Vec2 ray = place(angle, 1);
  const double share = cross(from, ray) / (cross(from, ray) - cross(to, ray));
  return ray.dot(from + share * (to - from));
}

}  // namespace

void mirror_outline(Polygon& outline, int fold, double mirror_rad) {
  assert(fold >= 1 && outline.size() >= 3);
  const double width = pi / fold;
  // Angles as the boundary winds about the origin, once in all.
  const std::size_t n = outline.size();
  std::vector<double> angle(2 * n + 1);
  angle[0] = std::atan2(outline[0].y(), outline[0].x()) - mirror_rad;
  // Well before the near mirror, so that the way begins by passing it: -2 pi .. 0.
  angle[0] -= 2 * pi * std::ceil(angle[0] / (2 * pi) + 1e-9);
  for (std::size_t i = 1; i <= 2 * n; ++i) {
    const Vec2 &a = outline[(i - 1) % n], &b = outline[i % n];
    angle[i] = angle[i - 1] + std::atan2(cross(a, b), a.dot(b));
  }
  // The first step past the far mirror, and before it the last past the near one.
  std::size_t last = 1;
  while (last < 2 * n && !(angle[last] > width)) ++last;
  std::size_t first = last;
  while (first > 0 && !(angle[first - 1] < 0)) --first;
  if (first == 0) return;  // it does not wind about the origin
  // The step from first - 1 passes 0, that to last passes the width.
  struct Polar {
    double angle, radius;
  };
  std::vector<Polar> chain;
  chain.push_back({0, meet_ray(outline[(first - 1) % n], outline[first % n], mirror_rad)});
  for (std::size_t i = first; i < last; ++i) {
    if (!(angle[i] > 1e-9 && angle[i] < width - 1e-9)) continue;
    chain.push_back({angle[i], outline[i % n].norm()});
  }
  chain.push_back(
      {width, meet_ray(outline[(last - 1) % n], outline[last % n], mirror_rad + width)});
  // Less what lies on the mirrors and would be a point of no corner.
  outline.clear();
  for (int k = 0; k < fold; ++k) {
    const double start = mirror_rad + 2 * k * width;
    for (std::size_t i = 0; i + 1 < chain.size(); ++i)
      outline.push_back(place(start + chain[i].angle, chain[i].radius));
    for (std::size_t i = chain.size() - 1; i > 0; --i)
      outline.push_back(place(start + 2 * width - chain[i].angle, chain[i].radius));
  }
}

}  // namespace sixtyfold
