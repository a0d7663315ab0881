#include "tests/support/nest_oracle.h"

#include <algorithm>
#include <cmath>

#include "tests/support/polygon_oracle.h"

namespace sixtyfold::oracle {

NestFaults measure_nest(const Nest& nest, const Polygon& flat_pattern) {
  NestFaults faults;
  std::vector<Polygon> parts;
  for (const Placement& placement : nest.placements) parts.push_back(placement.place(flat_pattern));
  std::vector<Box> boxes;
  for (const Polygon& part : parts) boxes.push_back(measure_box(part));
  const double near = nest.sheet.gap_mm + 1;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    // First cuts a part must keep clear of.
    std::vector<double> xs, ys;
    if (nest.first_cut != FirstCut::none) xs.push_back(nest.sheet.long_mm / 2);
    if (nest.first_cut == FirstCut::quarters) ys.push_back(nest.sheet.short_mm / 2);
    const Box& box = boxes[i];
    const auto margin = [&](double line, double low, double high) {
      const double apart = std::max(low - line, line - high);  // negative: the line is crossed
      faults.least_margin_mm = std::min(faults.least_margin_mm, apart);
    };
    const auto outside = [&](double low, double high, double size) {
      faults.least_margin_mm = std::min({faults.least_margin_mm, low, size - high});
    };
    outside(box.low.x(), box.high.x(), nest.sheet.long_mm);
    outside(box.low.y(), box.high.y(), nest.sheet.short_mm);
    for (const double x : xs) margin(x, box.low.x(), box.high.x());
    for (const double y : ys) margin(y, box.low.y(), box.high.y());
    for (std::size_t j = 0; j < i; ++j) {
      const Vec2 apart = (boxes[i].low - boxes[j].high).cwiseMax(boxes[j].low - boxes[i].high);
      if (apart.maxCoeff() > near) continue;
      const double overlap = overlap_area(parts[i], parts[j]);
      faults.overlap_mm2 = std::max(faults.overlap_mm2, overlap);
      if (overlap < 1e-6)
        faults.least_gap_mm = std::min(faults.least_gap_mm, distance(parts[i], parts[j]));
      else
        faults.least_gap_mm = 0;
    }
  }
  return faults;
}

}  // namespace sixtyfold::oracle
