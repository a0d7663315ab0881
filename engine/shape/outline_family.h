#pragma once
// Families of outlines: a bounded box of named numbers in, one closed outline out.

#include <span>
#include <string>
#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// One bounded number. Angles (turn, phase, twist, bend) are radians; counts (corners, blades) are
/// rounded down; all others are shares of the outline's own size, without unit.
struct Parameter {
  std::string name;
  double low = 0, high = 1;
};

/// Promises for every parameter vector in the box and every fold up to most_fold:
///  1. the outline is simple and runs counter-clockwise, with at least 3 and at most 200 vertices;
///  2. the hub, the origin, lies strictly inside;
///  3. the farthest vertex is at distance 1 from the hub;
///  4. drawn with fold k it is k-fold symmetric about the hub (to rounding);
///  5. the same values give the same bytes.
/// It does not promise a least width: see engine/shape/width.h.
struct OutlineFamily {
  std::string name;
  std::string description;
  std::vector<Parameter> parameters;
  int most_fold = 12;
  /// Draws at any scale; only draw and draw_into call it.
  void (*trace)(std::span<const double> values, int fold, Polygon& outline) = nullptr;

  /// Empty when the values fit the parameters, else a sentence naming the first that does not.
  std::string find_fault(std::span<const double> values) const;
  /// The values must have no fault, and 1 <= fold <= most_fold.
  Polygon draw(std::span<const double> values, int fold = 1) const;
  /// The same into a polygon whose memory is used again.
  void draw_into(std::span<const double> values, int fold, Polygon& outline) const;
};

/// All families, in an order that never changes.
const std::vector<OutlineFamily>& outline_families();

/// Throws std::invalid_argument with the allowed names.
const OutlineFamily& find_outline_family(const std::string& name);

}  // namespace sixtyfold
