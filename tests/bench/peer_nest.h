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

/// `items` equal parts on sheets of width x height, `gap` apart, all in mm; quarter turns or half
/// turns only.
Result fill_sheet(const Points& part, double width, double height, double gap, int items,
                  bool quarter_turns);

}  // namespace peer_nest
