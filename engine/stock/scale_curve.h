#pragma once
// How large for so many sheets, and how many sheets for so large.

#include <functional>
#include <string>
#include <vector>

#include "engine/nest/nest.h"

namespace sixtyfold {

struct ScaleOptions {
  NestOptions nest;
  double diameter_mm = 1000;            ///< of the construction at scale 1
  double low_mm = 300, high_mm = 3000;  ///< diameters looked at
  int halvings = 7;                     ///< of the bracket about each step of the curve

  /// Empty when the options make sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;
};

struct ScalePoint {
  double diameter_mm = 0;
  int parts_per_sheet = 0, sheets = 0;
  double utilisation = 0;

  bool operator==(const ScalePoint&) const = default;
};

/// Flat pattern of the part at a scale.
using PatternAtScale = std::function<Polygon(double scale)>;

/// For every number of sheets that matters, the largest diameter found: ascending in both. Found by
/// nesting, so a lower bound: more patience may find larger. A point is never larger than one with
/// more sheets; the last is the largest diameter at which one part fits a sheet, or high_mm.
/// Throws std::invalid_argument for options with a fault.
std::vector<ScalePoint> find_scale_curve(const PatternAtScale& pattern_at,
                                         const ScaleOptions& options);

/// The point of the curve with the largest diameter for at most so many sheets; nullptr: not even
/// low_mm can be cut from so few.
const ScalePoint* find_largest(const std::vector<ScalePoint>& curve, int most_sheets);

/// The point with the fewest sheets for at least this diameter; nullptr: it can not be cut.
const ScalePoint* find_fewest_sheets(const std::vector<ScalePoint>& curve,
                                     double least_diameter_mm);

}  // namespace sixtyfold
