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

/// radius (cos angle, sin angle), for |angle| below 1e5, to about 1e-15. Polynomials of our own
/// (Cody and Waite 1980 reduction, Taylor to x^17): inlined they take a quarter of the library's
/// time, and they give the same bytes with every mathematics library.
inline Vec2 from_polar(double radius, double angle) {
  const double turns = angle * (2 / pi);
  const double quarter = static_cast<double>(static_cast<long>(turns + (turns < 0 ? -0.5 : 0.5)));
  const double x =
      (angle - quarter * 1.57079632673412561417) - quarter * 6.07710050650619224932e-11;
  const double z = x * x;
  const double s =
      x + x * z *
              (-1.0 / 6 +
               z * (1.0 / 120 + z * (-1.0 / 5040 +
                                     z * (1.0 / 362880 + z * (-1.0 / 39916800 +
                                                              z * (1.0 / 6227020800 +
                                                                   z * (-1.0 / 1307674368000)))))));
  const double c =
      1 + z * (-0.5 +
               z * (1.0 / 24 +
                    z * (-1.0 / 720 + z * (1.0 / 40320 + z * (-1.0 / 3628800 +
                                                              z * (1.0 / 479001600 +
                                                                   z * (-1.0 / 87178291200 +
                                                                        z / 20922789888000.0)))))));
  const long turn = static_cast<long>(quarter) & 3;
  const double cosine = turn & 1 ? s : c, sine = turn & 1 ? c : s;
  return {turn == 1 || turn == 2 ? -radius * cosine : radius * cosine,
          turn >= 2 ? -radius * sine : radius * sine};
}

/// Corners (blades, ...) in one sector of a fold-symmetric outline with about `total` of them.
inline int per_sector(int total, int fold, int least_in_all) {
  int count = (total + fold / 2) / fold;
  while (count * fold < least_in_all || count < 1) ++count;
  return count;
}

}  // namespace sixtyfold
