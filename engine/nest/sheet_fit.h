#pragma once
// The fast tier of stock use, for the inside of a search: does a part fit a sheet, how large may it
// be, and how many surely fit. Works on the part's convex hull alone, in one to three microseconds
// for hulls of up to 40 corners, without allocating. engine/nest/nest.h is the slow tier that
// knows the outline.

#include <span>

#include "engine/nest/sheet.h"
#include "engine/vectors.h"

namespace sixtyfold {

/// How one part lies on one sheet.
///
/// With grain the part lies with its long axis, the long side of its least rectangle, along the
/// grain; without, it may be turned by any angle.
struct SheetFit {
  bool fits = false;
  double length_mm = 0, width_mm = 0;  ///< least rectangle in an allowed direction, long side first
  double direction_rad = 0;  ///< of the part that comes to lie along the sheet, in [0, pi)
  double long_axis_rad = 0;  ///< of the least rectangle
  double roomiest_rad = 0;   ///< direction that leaves the most room along the sheet, free of grain
  int parts_per_sheet = 0;   ///< a lower bound: this many surely fit; 0 when one does not
};

/// The part's hull: convex, counter-clockwise, at least three vertices. Counts parts in rows, each
/// row alternately turned by half a turn, and in blocks of the least rectangle.
SheetFit measure_sheet_fit(std::span<const Vec2> hull, const Sheet& sheet);

/// Sheets for so many copies; 0 when not one part fits a sheet.
int measure_sheets(int copies, int parts_per_sheet);

/// Area of the parts over the area of the sheets used, margins and the last sheet's rest included.
double measure_utilisation(double part_area_mm2, int copies, const SheetFit& fit,
                           const Sheet& sheet);

struct LargestScale {
  double scale = 0;          ///< 0 when the sheet is smaller than the allowance
  double direction_rad = 0;  ///< of the part that comes to lie along the sheet, in [0, pi)
};

/// The largest factor s for which a part of width s w(phi) + allowance_mm in every direction phi,
/// w the width of the hull, fits the sheet: a shape scaled while its tabs and allowances are not.
/// Exact: the optimum lies where an edge of the hull is flush or where both sides are tight.
/// With grain the long axis is that of the hull itself, allowance left out.
LargestScale measure_largest_scale(std::span<const Vec2> hull, double allowance_mm,
                                   const Sheet& sheet);

}  // namespace sixtyfold
