#pragma once
// Halved slots: two panels that cross are each slotted half-way along the meeting line and pushed into
// each other.
//
// Section across the line: the mate's board, t thick, crosses this panel's board, t thick, at the acute
// plane angle theta. On this panel's two faces, t apart, the mate is t/sin(theta) wide; from one face
// to the other it shifts by t/tan(theta). A slot cut at right angles through the board must hold all
// of it, so its width is t/sin(theta) + t/tan(theta) = t/tan(theta/2). Check values for t = 4: 90 deg
// 4; 60 deg 6.9282; 45 deg 9.6569; 30 deg 14.9282.

#include <cmath>

namespace sixtyfold {

/// Least width of a slot cut at right angles to the board, theta in (0, pi/2].
inline double slot_width(double thickness_mm, double theta_rad) {
  return thickness_mm / std::tan(0.5 * theta_rad);
}

/// The crossing runs from `from` to `to` along the meeting line, positions in millimetres. One panel is
/// slotted from its edge at `from` up to `split`, the other from its edge at `to` down to it.
struct SlotSplit {
  double split = 0;
  bool slides = false;  ///< the two can be slid together along the line
};

/// Where the crossing segment is open: whether this panel and the mate end (have free boundary) at the
/// segment's lower and upper end.
struct SlotEnds {
  bool own_open_low = false, own_open_high = false;
  bool mate_open_low = false, mate_open_high = false;
};

/// Half and half. They slide when one panel's slot
/// can start at its own free boundary at one end and the mate's at the other: this panel from the low
/// end and the mate from the high end, or the reverse. Each keeps half of the crossing as board.
inline SlotSplit split_slot(double from, double to, const SlotEnds& ends) {
  SlotSplit result;
  result.split = 0.5 * (from + to);
  result.slides = (ends.own_open_low && ends.mate_open_high) || (ends.own_open_high && ends.mate_open_low);
  return result;
}

}  // namespace sixtyfold
