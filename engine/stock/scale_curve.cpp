#include "engine/stock/scale_curve.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/nest/sheet_fit.h"

namespace sixtyfold {

std::string ScaleOptions::find_fault() const {
  if (std::string fault = nest.find_fault(); !fault.empty()) return fault;
  if (!(0.1 <= diameter_mm && diameter_mm <= 1e6))
    return "the diameter at scale 1 is " + std::to_string(diameter_mm) +
           " mm; it must lie between 0.1 and 1000000";
  if (!(1 <= low_mm && low_mm <= high_mm && high_mm <= 1e5))
    return "the diameters looked at run from " + std::to_string(low_mm) + " to " +
           std::to_string(high_mm) + " mm; they must lie between 1 and 100000, the smaller first";
  if (!(1 <= halvings && halvings <= 40))
    return "the number of halvings is " + std::to_string(halvings) +
           "; it must lie between 1 and 40";
  return {};
}

std::vector<ScalePoint> find_scale_curve(const PatternAtScale& pattern_at,
                                         const ScaleOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  const int copies = options.nest.copies;
  const auto measure = [&](double diameter) {
    const Polygon pattern = pattern_at(diameter / options.diameter_mm);
    ScalePoint point;
    point.diameter_mm = diameter;
    if (pattern.size() < 3) return point;
    const Nest nest = make_nest(pattern, options.nest);
    point.parts_per_sheet = nest.parts_per_sheet;
    point.sheets = nest.sheets;
    point.utilisation = nest.utilisation;
    return point;
  };
  // The largest diameter in [low, high] at which so many parts are found on a sheet; high is not.
  const auto find_step = [&](double low, double high, int parts, ScalePoint& found) {
    for (int i = 0; i < options.halvings; ++i) {
      const double middle = std::sqrt(low * high);
      ScalePoint point = measure(middle);
      if (point.parts_per_sheet >= parts) {
        low = middle;
        found = point;
      } else {
        high = middle;
      }
    }
  };

  std::vector<ScalePoint> points;
  ScalePoint low = measure(options.low_mm);
  if (low.parts_per_sheet == 0) return points;
  double high = options.high_mm;
  ScalePoint point = measure(high);
  if (point.parts_per_sheet == 0) {
    point = low;
    find_step(options.low_mm, high, 1, point);
  }
  for (;;) {
    if (points.empty() || point.sheets < points.back().sheets) points.push_back(point);
    if (point.diameter_mm <= options.low_mm || point.sheets <= 1) break;
    // One sheet fewer takes at least so many parts a sheet.
    const int parts = (copies - 1) / (point.sheets - 1) + 1;
    if (low.parts_per_sheet < parts) {
      if (low.sheets < point.sheets) points.push_back(low);
      break;
    }
    // Areas say about where; nests are not quite monotone, so the bracket is opened until it holds.
    double bracket = point.diameter_mm;
    ScalePoint found;
    double ratio = std::sqrt(static_cast<double>(point.parts_per_sheet) / parts);
    for (;;) {
      bracket = std::max(options.low_mm, bracket * ratio * 0.98);
      found = bracket <= options.low_mm ? low : measure(bracket);
      if (found.parts_per_sheet >= parts) break;
      ratio = 0.93;
    }
    find_step(found.diameter_mm, point.diameter_mm, parts, found);
    point = found;
  }
  std::reverse(points.begin(), points.end());
  std::stable_sort(points.begin(), points.end(), [](const ScalePoint& a, const ScalePoint& b) {
    return a.diameter_mm < b.diameter_mm;
  });
  return points;
}

const ScalePoint* find_largest(const std::vector<ScalePoint>& curve, int most_sheets) {
  const ScalePoint* largest = nullptr;
  for (const ScalePoint& point : curve)
    if (point.sheets <= most_sheets) largest = &point;
  return largest;
}

const ScalePoint* find_fewest_sheets(const std::vector<ScalePoint>& curve,
                                     double least_diameter_mm) {
  for (const ScalePoint& point : curve)
    if (point.diameter_mm >= least_diameter_mm) return &point;
  return nullptr;
}

}  // namespace sixtyfold
