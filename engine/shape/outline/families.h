#pragma once
// The families behind outline_families(): one maker for each file of this folder, and what they
// share.

#include <cmath>
#include <string>

#include "engine/shape/outline_family.h"

namespace sixtyfold {

OutlineFamily make_radial_family();
OutlineFamily make_straight_family();
OutlineFamily make_arcs_family();
OutlineFamily make_limbs_family();
OutlineFamily make_blades_family();

/// Appends name_1 .. name_count.
inline void add_parameters(std::vector<Parameter>& parameters, const std::string& name, int count,
                           double low, double high) {
  for (int i = 1; i <= count; ++i)
    parameters.push_back({name + "_" + std::to_string(i), low, high});
}

/// A whole number drawn evenly from low .. high by a parameter in [low, high + 1].
inline int whole(double value, int high) {
  const int rounded = static_cast<int>(value);
  return rounded < high ? rounded : high;
}

/// Corners (blades, ...) in one sector of a fold-symmetric outline with about `total` of them.
inline int per_sector(int total, int fold, int least_in_all) {
  int count = (total + fold / 2) / fold;
  while (count * fold < least_in_all || count < 1) ++count;
  return count;
}

}  // namespace sixtyfold
