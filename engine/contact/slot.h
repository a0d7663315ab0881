#pragma once
// Halved slots: two panels that pass through each other, each slotted half-way along the meeting
// line and pushed into the other.
//
// Section across the line: the mate's board, t thick, crosses this panel's board, t thick, at the
// acute plane angle theta. On this panel's two faces, t apart, the mate is t/sin(theta) wide; from
// one face to the other it shifts by t/tan(theta). A slot cut at right angles through the board
// must hold all of it, so its width is t/sin(theta) + t/tan(theta) = t/tan(theta/2), with the line
// in its middle. Check values for t = 4: 90 deg 4; 60 deg 6.9282; 45 deg 9.6569; 30 deg 14.9282.

#include <cmath>
#include <optional>

#include "engine/contact/contact.h"

namespace sixtyfold {

/// Least width of a slot cut at right angles to the board, theta in (0, pi/2].
inline double slot_width(double thickness_mm, double theta_rad) {
  return thickness_mm / std::tan(0.5 * theta_rad);
}

/// A crossing along which two copies can be slid into each other.
struct HalvedSlot {
  Contact crossing;
  /// The first copy's slot opens at `crossing.from` and it slides out towards `crossing.to`; else
  /// the other way about. The second copy slides out the opposite way.
  bool opens_low = false;
};

/// The crossing along which two copies can be slid into each other: the first ends at one end of it
/// and goes on at the other, the second the other way about. Each is slotted from the end where it
/// ends itself, up to the middle; so the slot follows from the geometry alone and is the same on
/// every copy. None when the copies do anything else along the line than cross once, when one of
/// the two would need a window, when both end at the same place (`tolerance` apart), or when on the
/// way in some other lobe of one runs into the other. Arguments as for find_contacts, which made
/// `contacts`; contacts not longer than `tolerance` are overlooked.
std::optional<HalvedSlot> find_halved_slot(const SideSpans& first, const SideSpans& second,
                                           bool reversed, const std::vector<Contact>& contacts,
                                           double tolerance);

/// Whether the panel ends at `from` and goes on past `to`, the ends of a crossing in its plane:
/// then its slot opens at `from`. Looked at `beside` past it, which is more than rounding.
bool opens_at(const Vec2& from, const Vec2& to, const Polygon& outline, double beside);

/// What is cut out of a panel for one slot, in its own plane.
struct SlotCut {
  Vec2 open_mm;         ///< end of the crossing at the panel's own border
  Vec2 closed_mm;       ///< the crossing's other end
  double thickness_mm;  ///< of the mate
  double angle_rad;     ///< between the planes, acute
  double play_mm;       ///< the slot is wider and deeper by so much
};

/// The rectangle from the slot's bottom, half-way, out past the border of `outline`: far enough for
/// a border that runs slantwise to the line, and not as far as the next lobe.
Polygon make_slot(const SlotCut& cut, const Polygon& outline);

}  // namespace sixtyfold
