#pragma once
// Places on a sheet for many designs, so that like lies by like.

#include <array>
#include <vector>

#include "search/choose/design_look.h"

namespace sixtyfold {

struct LookMap {
  int columns = 0, rows = 0;              ///< rows * columns is the number of looks or little more
  std::vector<std::array<int, 2>> cells;  ///< column and row of each look, no two alike
};

/// The two directions in which the looks differ most (principal components, Jolliffe 2002), spread
/// out over a grid: the sheet is halved again and again, each half taking the looks on its side, so
/// that no cell holds two and few stay empty. Every look must have the same size. Same input, same
/// answer; none: an empty map.
LookMap make_look_map(const std::vector<Look>& looks);

}  // namespace sixtyfold
