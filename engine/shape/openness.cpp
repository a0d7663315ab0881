#include "engine/shape/openness.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

namespace {

/// One panel type with what does not depend on the ray.
struct Blocker {
  ShadeOrbit orbit;
  double distance = 0;
  double least_cosine = 0;  ///< only rays within this angle of a copy's normal can meet it
  std::vector<double> x, y, z, cosine;

  explicit Blocker(const ShadeOrbit& of) : orbit(of) {
    const Frame& frame = orbit.panel.frame;
    distance = frame.origin.dot(frame.normal);
    double farthest = 0;
    for (const Vec2& v : orbit.panel.outline_mm) farthest = std::max(farthest, v.squaredNorm());
    farthest = std::sqrt(farthest + frame.origin.squaredNorm());
    if (!(distance > 1e-9 * farthest)) return;
    least_cosine = distance / farthest;
    for (const Mat3& copy : orbit.copies) {
      const Vec3 normal = copy * frame.normal;
      x.push_back(normal.x());
      y.push_back(normal.y());
      z.push_back(normal.z());
    }
    cosine.resize(x.size());
  }

  bool blocks(const Vec3& ray) {
    for (std::size_t k = 0; k < x.size(); ++k)
      cosine[k] = x[k] * ray.x() + y[k] * ray.y() + z[k] * ray.z();
    const Shade& panel = orbit.panel;
    for (std::size_t k = 0; k < x.size(); ++k) {
      if (cosine[k] < least_cosine) continue;
      const Vec3 meets = orbit.copies[k].transpose() * ray * (distance / cosine[k]);
      const Vec2 point = panel.frame.to_plane(meets);
      if (contains(panel.outline_mm, point) &&
          std::none_of(panel.holes_mm.begin(), panel.holes_mm.end(),
                       [&](const Polygon& hole) { return contains(hole, point); }))
        return true;
    }
    return false;
  }
};

}  // namespace

double measure_openness(std::span<const ShadeOrbit> orbits, int directions) {
  assert(directions > 0);
  std::vector<Blocker> blockers(orbits.begin(), orbits.end());
  const double golden_angle = pi * (3 - std::sqrt(5.0));
  int open = 0;
  for (int i = 0; i < directions; ++i) {
    const double height = 1 - (2 * i + 1.0) / directions, radius = std::sqrt(1 - height * height);
    const Vec3 ray(radius * std::cos(golden_angle * i), radius * std::sin(golden_angle * i),
                   height);
    open += std::none_of(blockers.begin(), blockers.end(),
                         [&](Blocker& blocker) { return blocker.blocks(ray); });
  }
  return static_cast<double>(open) / directions;
}

double measure_openness(std::span<const Mat3> copies, const Shade& panel, int directions) {
  const ShadeOrbit orbit{copies, panel};
  return measure_openness(std::span(&orbit, 1), directions);
}

}  // namespace sixtyfold
