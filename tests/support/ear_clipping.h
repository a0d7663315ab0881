#pragma once
// Slow and obvious triangulation for tests: cut off ears until a triangle is left.

#include <array>
#include <vector>

#include "engine/shape/orientation.h"
#include "engine/shape/polygon.h"

namespace sixtyfold::support {

inline std::vector<std::array<Vec2, 3>> find_triangles(Polygon polygon) {
  std::vector<std::array<Vec2, 3>> triangles;
  while (polygon.size() > 3) {
    const std::size_t n = polygon.size();
    bool clipped = false;
    for (std::size_t i = 0; i < n && !clipped; ++i) {
      const Vec2 a = polygon[(i + n - 1) % n], b = polygon[i], c = polygon[(i + 1) % n];
      if (find_orientation(a, b, c) <= 0) continue;
      bool empty = true;
      for (std::size_t k = 0; k < n && empty; ++k) {
        const Vec2& p = polygon[k];
        if (p == a || p == b || p == c) continue;
        empty = !(find_orientation(a, b, p) >= 0 && find_orientation(b, c, p) >= 0 &&
                  find_orientation(c, a, p) >= 0);
      }
      if (!empty) continue;
      triangles.push_back({a, b, c});
      polygon.erase(polygon.begin() + static_cast<std::ptrdiff_t>(i));
      clipped = true;
    }
    if (!clipped) {  // only flat ears are left
      bool dropped = false;
      for (std::size_t i = 0; i < n && !dropped; ++i)
        if (find_orientation(polygon[(i + n - 1) % n], polygon[i], polygon[(i + 1) % n]) == 0) {
          polygon.erase(polygon.begin() + static_cast<std::ptrdiff_t>(i));
          dropped = true;
        }
      if (!dropped) return {};
    }
  }
  triangles.push_back({polygon[0], polygon[1], polygon[2]});
  return triangles;
}

}  // namespace sixtyfold::support
