#include "engine/shape/second_moment.h"

namespace sixtyfold {

double measure_second_moment(const Polygon& polygon) {
  double moment = 0;
  for (std::size_t i = 0, last = polygon.size() - 1; i < polygon.size(); last = i++) {
    const Vec2 &p = polygon[last], &q = polygon[i];
    moment += cross(p, q) * (p.dot(p) + p.dot(q) + q.dot(q)) / 12;
  }
  return moment;
}

}  // namespace sixtyfold
