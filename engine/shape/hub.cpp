#include "engine/shape/hub.h"

namespace sixtyfold {

Vec2 find_hub(const Polygon& outline) {
  const Box box = measure_box(outline);
  Vec2 hub = outline.front();
  double deepest = 0;
  for (int i = 1; i < 24; ++i)
    for (int j = 1; j < 24; ++j) {
      const Vec2 p = box.low + box.size().cwiseProduct(Vec2(i / 24.0, j / 24.0));
      if (!contains(outline, p)) continue;
      const double depth = distance_to_boundary(outline, p);
      if (depth > deepest) {
        deepest = depth;
        hub = p;
      }
    }
  return hub;
}

}  // namespace sixtyfold
