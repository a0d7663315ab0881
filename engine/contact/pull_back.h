#pragma once
// Pulling an outline back from a line, so that it no longer touches the copy that meets it there.

#include "engine/contact/meeting_line.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

struct PullBack {
  MeetingLine line;         ///< in the outline's plane
  double from = 0, to = 0;  ///< the contact, in positions along the line
  bool above = false;       ///< the outline's material lies on the line's `side`
  double by = 0;            ///< how far the outline stays from the line there
};

/// Cuts off the lobes between the line and its parallel `by` further in that reach the contact; the
/// new edges are the parallel's chords. Everything else stays. False, with the outline unchanged,
/// when the hub lies in such a lobe.
bool pull_back(const PullBack& wanted, const Vec2& hub, Polygon& outline);

}  // namespace sixtyfold
