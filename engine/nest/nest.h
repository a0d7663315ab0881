#pragma once
// Nesting: where so many equal flat patterns lie on sheets. The slow tier, for finalists: 2 to 200
// milliseconds a nest of up to 50 parts at the usual effort (tests/bench/nest_bench). The fast tier
// is engine/nest/sheet_fit.h and profile_fit.h. Each kind of part has sheets of its own; several
// kinds on one sheet are not nested.

#include <string>
#include <vector>

#include "engine/nest/sheet.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// Whether sheets are first cut into halves or quarters by straight cuts through the middle, as
/// people do who have to carry or saw them.
enum class FirstCut { none, halves, quarters };

struct NestOptions {
  Sheet sheet;
  FirstCut first_cut = FirstCut::none;
  int copies = 60;
  int effort = 2;  ///< 1 a quick look, 2 the usual, 3 patient

  /// Empty when the options make sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;
};

/// A point p of the flat pattern lies at position + R(rotation) p on the sheet; of a part turned
/// over, at position + R(rotation) (-p.x, p.y). The sheet's corner is the origin, x runs along the
/// long side.
struct Placement {
  Vec2 position_mm = Vec2::Zero();
  double rotation_rad = 0;
  bool turned_over = false;

  Polygon place(const Polygon& flat_pattern) const;
};

struct Nest {
  Sheet sheet;
  FirstCut first_cut = FirstCut::none;
  std::vector<Placement> placements;  ///< on one full sheet, in the order in which it fills
  int copies = 0;
  int parts_per_sheet = 0;  ///< 0: not even one fits
  int sheets = 0;
  int parts_on_last_sheet = 0;
  double utilisation = 0;            ///< area of all parts over the area of all sheets
  double full_utilisation = 0;       ///< area of the parts on a full sheet over its area
  std::vector<Box> offcuts_mm;       ///< of a full sheet: largest empty rectangles, largest first
  std::vector<Box> last_offcuts_mm;  ///< of the last sheet
};

/// Promises:
/// 1. parts keep the gap from each other and the margin from the sheet's edges, to 0.001 mm;
/// 2. with grain all parts lie with the long side of their least rectangle along it; parts are
/// turned
///    over only where both faces are alike;
/// 3. parts_per_sheet is at least that of measure_sheet_fit;
/// 4. same input, same nest.
/// Not promised: that no better nest exists. Lattices of one part and of two (the second turned by
/// half a turn) are tried in all directions as rows on the finite sheet; what is left is filled
/// from the bottom left, at corners of no-fit regions. At effort 2 and 3 up to ten parts a sheet
/// are also laid one by one at any of 24 angles, in as many ways as the effort allows. Rectangles
/// are packed by blocks, and at effort 2 and 3 by L-shaped pieces. Throws std::invalid_argument:
/// options with a fault, or an outline that is not simple.
Nest make_nest(const Polygon& flat_pattern, const NestOptions& options);

}  // namespace sixtyfold
