#pragma once
// The slow reference of engine/shape/openness.h: every ray is held against every copy of the panel.

#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"
#include "engine/symmetry/ray_images.h"

namespace sixtyfold::plain {

struct Sight {
  bool blocked = false;
  bool is_close = false;  ///< passes a copy's outline within 1e-9 of the panel's size
};

inline std::vector<Sight> look_out(const std::vector<Mat3>& copies, const Frame& frame,
                                   const Polygon& outline_mm, const std::vector<Ray>& rays) {
  std::vector<Sight> sights(rays.size());
  double farthest = 0;
  for (const Vec2& p : outline_mm) farthest = std::max(farthest, frame.to_space(p).norm());
  const double size = measure_box(outline_mm).size().norm();
  for (std::size_t i = 0; i < rays.size(); ++i)
    for (const Mat3& copy : copies) {
      // As the first copy would see it.
      const Vec3 ray = copy.transpose() * rays[i].direction;
      const Vec3 start = farthest * (copy.transpose() * rays[i].start);
      const double reach = -frame.height_of(start) / frame.normal.dot(ray);
      if (!(reach > 0)) continue;
      const Vec2 meets = frame.to_plane(start + reach * ray);
      if (contains(outline_mm, meets)) sights[i].blocked = true;
      if (distance_to_boundary(outline_mm, meets) <= 1e-9 * size) sights[i].is_close = true;
    }
  return sights;
}

}  // namespace sixtyfold::plain
