#pragma once
// The slow reference of engine/shape/openness.h: every ray from the centre is held against every
// copy of the panel.

#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold::plain {

struct Sight {
  bool blocked = false;
  bool is_close = false;  ///< passes a copy's outline within 1e-9 of the panel's size
};

inline std::vector<Sight> look_out(const std::vector<Mat3>& copies, const Frame& frame,
                                   const Polygon& outline_mm, const std::vector<Vec3>& rays) {
  std::vector<Sight> sights(rays.size());
  const double distance = frame.normal.dot(frame.origin);
  double farthest = 0;
  for (const Vec2& p : outline_mm) farthest = std::max(farthest, frame.to_space(p).norm());
  if (distance <= 1e-9 * farthest) return sights;  // seen edge on
  const double size = measure_box(outline_mm).size().norm();
  for (std::size_t i = 0; i < rays.size(); ++i)
    for (const Mat3& copy : copies) {
      const Vec3 ray = copy.transpose() * rays[i];  // as the first copy would see it
      const double ahead = frame.normal.dot(ray);
      if (ahead <= 0) continue;
      const Vec2 meets = frame.to_plane(distance / ahead * ray);
      if (contains(outline_mm, meets)) sights[i].blocked = true;
      if (distance_to_boundary(outline_mm, meets) <= 1e-9 * size) sights[i].is_close = true;
    }
  return sights;
}

}  // namespace sixtyfold::plain
