#pragma once
// Equal parts in straight rows, row interlocked with row: the finite form of the best single and
// double lattice, with the sheet's border taken into account.

#include <span>
#include <vector>

#include "engine/nest/lattice.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// One part of a stack: where the centre of its box lies, measured from where it lies when the part
/// is in the sheet's lowest left corner; and whether it is turned by half a turn.
struct StackedPart {
  Vec2 centre = Vec2::Zero();
  bool turned = false;
};

struct RowStack {
  std::vector<StackedPart> parts;  ///< row by row from the bottom
  double value = 0;  ///< number of parts, and the share of the next row's height there is room for
  double potential =
      0;  ///< best over all stacks looked at: parts, and the next row's share of parts
};

/// A part at the angle at which it lies on the sheet.
struct StackInput {
  PairRegions regions;
  Vec2 box_middle = Vec2::Zero();  ///< of the part's box, from the origin it turns about
};

/// Best stack of rows parallel to x for each of `rooms`: what the part's box may move by, which is
/// the sheet inside its margins less the box. Empty where a room is negative.
///
/// Rows hold parts spaced evenly, as tight as they go, or spread so that the row ends flush with
/// the room; the rows above alternate between the part and the turned part, or do not; rows
/// alternate between two offsets, or drift as in a lattice.
std::vector<RowStack> find_row_stacks(const StackInput& input, std::span<const Vec2> rooms,
                                      const LatticeEffort& effort);

}  // namespace sixtyfold
