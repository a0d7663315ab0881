#pragma once
// A square code (QR code, ISO/IEC 18004) as a drawing. What makes one of a text is elsewhere.

#include <string>
#include <vector>

#include "results/drawings/page.h"

namespace sixtyfold {

struct SquareCode {
  int modules = 0;         ///< along a side
  std::vector<char> dark;  ///< modules * modules, row by row; 1 is dark

  bool is_dark(int row, int column) const;
};

/// The empty border that readers need, in modules (ISO/IEC 18004: four).
inline constexpr int quiet_modules = 4;

/// Outlines of the dark areas, in modules from the top left corner of the code, y downwards: outer
/// edges and holes, for the even-odd rule.
std::vector<Polygon> find_dark_areas(const SquareCode& code);

/// Black on the paper, with its border inside the box of `side_mm`.
void add_square_code(Page& page, const SquareCode& code, const Vec2& top_left, double side_mm);

/// An <svg> element, border included, black on white whatever the page's colours; `label` is what
/// it is called.
std::string make_square_code_svg(const SquareCode& code, const std::string& label);

}  // namespace sixtyfold
