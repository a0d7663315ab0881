#pragma once
// Whether two variants are the same thing again. The signature does not change when copies are
// renumbered, when the whole is turned or mirrored, or when it is scaled, and it is cheap enough
// for every find of a run. How different two designs look to somebody who stands before them, one
// of them turned as it is, is search/choose/design_look.h: dearer, and for a few finished designs.

#include <array>
#include <string>

#include "engine/variant/variant.h"

namespace sixtyfold {

/// Shares of area, pairs or joint length, each cumulative so that neighbouring bins are near.
struct Signature {
  std::string symmetry;
  int panels = 0;
  std::array<double, 12> radii{};    ///< panel's area by distance from the centre / radius
  std::array<double, 12> pairs{};    ///< pairs of points on any two copies, by distance
  std::array<double, 12> outline{};  ///< pairs of points of one panel, by distance / its length
  std::array<double, 9> angles{};    ///< joint length by plane angle
  double slenderness = 0;            ///< width / length of the panel
  double depth = 0;                  ///< distance of the plane from the centre / radius
  double joints_per_panel = 0, openness = 0;
  double windows = 0;  ///< share of the panel that is cut out
};

/// Shape distributions D1 and D2 of Osada, Funkhouser, Chazelle and Dobkin 2002 on fixed sample
/// points. The variant must be ok.
Signature make_signature(const OrbitScheme& scheme, const Variant& variant);

/// 0 for the same variant in any guise, about 0.05 for a small change, 1 and more for different
/// things.
double measure_difference(const Signature& a, const Signature& b);

/// Designs nearer than this are near-duplicates: a person would call them the same.
inline constexpr double near_duplicate = 0.1;

}  // namespace sixtyfold
