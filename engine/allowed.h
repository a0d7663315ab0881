#pragma once
// What each number may be, said once: options take it, files hold it and every stage works with it.

#include <string>

namespace sixtyfold {

/// A closed range of a quantity that people give, with the words for it.
struct Allowed {
  const char* words;  ///< as a sentence begins: "the tab depth"
  double low, high;
  const char* unit;  ///< "mm"; empty for plain numbers

  /// False for not-a-number.
  constexpr bool holds(double value) const { return low <= value && value <= high; }
  /// "2 to 500 mm"
  std::string range() const;
  /// Empty, or "the tab depth is 1 mm; allowed is 2 to 500 mm".
  std::string find_fault(double value) const;
};

namespace allowed {

inline constexpr Allowed sheet_side{"a side of the sheet", 50, 20000, "mm"};
inline constexpr Allowed edge_margin{"the edge margin", 0, 10000, "mm"};
inline constexpr Allowed gap{"the gap between parts", 0, 1000, "mm"};
inline constexpr Allowed sheet_price{"the price of a sheet", 0, 1e9, ""};
inline constexpr Allowed thickness{"the thickness", 0.05, 100, "mm"};
inline constexpr Allowed board_mass{"the mass of the board", 0.01, 500, "kg/m2"};
inline constexpr Allowed tab_depth{"the tab depth", 2, 500, "mm"};
inline constexpr Allowed min_width{"the least width", 0, 10000, "mm"};
inline constexpr Allowed min_joint{"the shortest joint", 0, 10000, "mm"};
inline constexpr Allowed diameter{"the diameter", 0, 100000, "mm"};
inline constexpr Allowed stiffness{"the least stiffness number", 0, 1e6, ""};
inline constexpr Allowed cutting_height{"the cutting height", 0.05, 200, "mm"};
inline constexpr Allowed throat{"the saw's throat", 10, 5000, "mm"};
inline constexpr Allowed feed{"the feed", 1, 1e5, "mm a minute"};
inline constexpr Allowed kerf{"the width of the cut", 0, 5, "mm"};
inline constexpr Allowed slot_play{"the play of a slot", 0, 10, "mm"};
inline constexpr Allowed fold_allowance{"the fold allowance", -25, 25, "mm"};
inline constexpr Allowed paper_model{"the diameter of the paper model", 20, 20000, "mm"};
inline constexpr Allowed hand{"the passage for a hand", 20, 300, "mm"};
inline constexpr Allowed arm{"the reach of an arm", 100, 2000, "mm"};
inline constexpr Allowed clamp_opening{"the opening of the clamp", 1, 500, "mm"};
inline constexpr Allowed clamp_depth{"the depth of the clamp", 5, 1000, "mm"};
inline constexpr Allowed cut_error{"how far a cut may be off", 0, 20, "mm"};
inline constexpr Allowed fold_error{"how far a fold may be off", 0, 45, "degrees"};
inline constexpr Allowed people{"the number of people", 1, 10000, ""};
inline constexpr Allowed saws{"the number of cutting places", 1, 1000, ""};
inline constexpr Allowed drying{"the time to dry", 0, 10000, "minutes"};
inline constexpr Allowed minutes_each{"the time for one joint or tab", 0, 1000, "minutes"};
inline constexpr Allowed spares{"the spares", 0, 100, "percent"};
inline constexpr Allowed hanging_points{"the number of hanging points", 1, 100, ""};
inline constexpr Allowed module_panels{"the panels in one module", 1, 60, ""};

}  // namespace allowed

}  // namespace sixtyfold
