#include "engine/shape/net_area.h"

namespace sixtyfold {

double measure_net_area(const Polygon& outline, const std::vector<Polygon>& holes) {
  double area = measure_area(outline);
  for (const Polygon& hole : holes) area -= measure_area(hole);
  return area;
}

}  // namespace sixtyfold
