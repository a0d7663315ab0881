#include "engine/shape/hub.h"

#include <algorithm>

namespace sixtyfold {

Spot find_roomiest_spot(std::span<const Polygon> rings) {
  const Polygon& outline = rings.front();
  const Box box = measure_box(outline);
  Spot spot{outline.front(), 0};
  for (int i = 1; i < 24; ++i)
    for (int j = 1; j < 24; ++j) {
      const Vec2 p = box.low + box.size().cwiseProduct(Vec2(i / 24.0, j / 24.0));
      if (!contains(outline, p)) continue;
      double depth = distance_to_boundary(outline, p);
      for (const Polygon& hole : rings.subspan(1))
        depth = contains(hole, p) ? 0 : std::min(depth, distance_to_boundary(hole, p));
      if (depth > spot.room) spot = {p, depth};
    }
  return spot;
}

Vec2 find_hub(const Polygon& outline) { return find_roomiest_spot(std::span(&outline, 1)).point; }

}  // namespace sixtyfold
