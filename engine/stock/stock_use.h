#pragma once
// What the board and the cutting of a design come to: sheets, waste, cost, time. Two tiers: a bound
// for the inside of a search and the full nest for finalists. engine/stock/stock_layout.h
// returns the nests and stacks, results/reports/stock_plan.h tells them to people.

#include <span>

#include "engine/design.h"
#include "engine/nest/profile_fit.h"

namespace sixtyfold {

/// All zero but the part's size when some part fits no sheet.
struct StockUse {
  double part_length_mm = 0, part_width_mm = 0;  ///< least rectangle of the largest flat pattern
  int parts_per_sheet = 0;                       ///< of several kinds of parts the fewest
  double parts_room = 0;   ///< the same as a real number, of the fast tier: see profile_fit.h
  int sheets = 0;          ///< each kind of part on sheets of its own
  double utilisation = 0;  ///< area of the parts over the area of the sheets
  double cost = 0;         ///< of the sheets at limits.sheet_price; 0: no price known
  double cutting_min = 0;  ///< all stacks, see engine/stock/cutting.h

  void put_into(Score& score) const;
};

/// What the search knows of a part whose tabs are not fitted yet.
struct PartSketch {
  std::span<const Vec2> outline_mm;  ///< without tabs, counter-clockwise
  std::span<const Polygon> windows_mm = {};
  std::span<const Segment> border_mm;  ///< of the outline and of all tabs
  double tab_area_mm2 = 0;
  double tab_edge_mm = 0;  ///< by which the tabs lengthen the cut
  int copies = 0;
};

/// The fast tier, a few microseconds: a bound on the sheets from above (engine/nest/sheet_fit.h
/// and profile_fit.h), and the time to cut the outline with tabs of full depth. Nothing is nested.
StockUse estimate_stock_use(const PartSketch& part, const Limits& limits);

/// What no nest can beat, from the outline without tabs alone: sheets, cost and cutting time at
/// least these, parts a sheet and utilisation at most. Parts the gap apart, grown by half of it, do
/// not overlap, and growing by a disc adds what Brunn and Minkowski's inequality says at least. All
/// zero when not even the area fits. Under a microsecond a corner.
StockUse bound_stock_use(const PartSketch& part, const Limits& limits);

/// The full tier: flat patterns nested on the sheets of design.limits (engine/nest/nest.h,
/// `effort` 1 to 3), stacks cut at the limits' feed. Flat patterns that are missing are made. The
/// price and all that depends on the board is in the limits: with_material(limits, material, sheet)
/// puts it there.
StockUse measure_stock_use(const Design& design, int effort);

}  // namespace sixtyfold
