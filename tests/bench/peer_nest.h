#pragma once
// One sheet filled by libnest2d. A source of its own, since that library is C++17 (its comparisons
// are ambiguous in C++20).

#include <utility>
#include <vector>

namespace peer_nest {

using Points = std::vector<std::pair<double, double>>;

struct Result {
  std::vector<Points> parts;  ///< placed on the first sheet, mm
  double seconds = 0;
};

struct Task {
  double width = 0, height = 0, gap = 0;  ///< mm
  int items = 0;
  bool quarter_turns = false;  ///< else half turns only
  bool centred = false;        ///< the library's own default; else from the bottom left
};

/// `items` equal parts on one sheet.
Result fill_sheet(const Points& part, const Task& task);

}  // namespace peer_nest
