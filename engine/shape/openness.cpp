#include "engine/shape/openness.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace sixtyfold {

double measure_openness(std::span<const Mat3> copies, const Shade& panel, int directions) {
  assert(directions > 0);
  const Frame& frame = panel.frame;
  const double distance = frame.origin.dot(frame.normal);
  double farthest = 0;
  for (const Vec2& v : panel.outline_mm) farthest = std::max(farthest, v.squaredNorm());
  farthest += frame.origin.squaredNorm();
  if (!(distance > 1e-9 * std::sqrt(farthest))) return 1;
  // Only rays within this angle of a copy's normal can meet it.
  const double least_cosine = distance / std::sqrt(farthest);

  std::vector<double> x, y, z;
  for (const Mat3& copy : copies) {
    const Vec3 normal = copy * frame.normal;
    x.push_back(normal.x());
    y.push_back(normal.y());
    z.push_back(normal.z());
  }
  std::vector<double> cosine(copies.size());
  const double golden_angle = pi * (3 - std::sqrt(5.0));
  int open = 0;
  for (int i = 0; i < directions; ++i) {
    const double height = 1 - (2 * i + 1.0) / directions, radius = std::sqrt(1 - height * height);
    const Vec3 ray(radius * std::cos(golden_angle * i), radius * std::sin(golden_angle * i),
                   height);
    for (std::size_t k = 0; k < copies.size(); ++k)
      cosine[k] = x[k] * ray.x() + y[k] * ray.y() + z[k] * ray.z();
    bool blocked = false;
    for (std::size_t k = 0; k < copies.size() && !blocked; ++k) {
      if (cosine[k] < least_cosine) continue;
      const Vec3 meets = copies[k].transpose() * ray * (distance / cosine[k]);
      const Vec2 point = frame.to_plane(meets);
      blocked = contains(panel.outline_mm, point) &&
                std::none_of(panel.holes_mm.begin(), panel.holes_mm.end(),
                             [&](const Polygon& hole) { return contains(hole, point); });
    }
    if (!blocked) ++open;
  }
  return static_cast<double>(open) / directions;
}

}  // namespace sixtyfold
