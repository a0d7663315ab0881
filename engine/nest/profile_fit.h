#pragma once
// The fast tier for parts with hollows: how many surely fit in rows whose parts reach into each
// other. A few microseconds; engine/nest/sheet_fit.h sees the convex hull alone.

#include <limits>
#include <span>

#include "engine/nest/sheet.h"
#include "engine/vectors.h"

namespace sixtyfold {

/// A piece of the part's border. Pieces inside the part do no harm.
struct Segment {
  Vec2 from, to;
};

struct Interlocked {
  int parts = 0;
  /// The same as a real number, which leads a search from one count to the next: with the share of
  /// one more part in every row, or of one more row, that there is room for. At least `parts`.
  double room = 0;
};

/// Parts on one sheet in rows, every second part turned by half a turn and shifted in height. One
/// of `directions` of the part (unit vectors) comes to lie along the sheet, or, without grain,
/// across. A lower bound: widths are taken over strips of the height, so it loses what slopes gain.
/// At least `least`, known otherwise; nothing is looked at beyond `most`, which cannot be beaten.
Interlocked find_interlocked(std::span<const Segment> border, std::span<const Vec2> directions,
                             const Sheet& sheet, int least = 0,
                             int most = std::numeric_limits<int>::max());

}  // namespace sixtyfold
