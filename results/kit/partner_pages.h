#pragma once
// Which edge of which panel goes to which: a table of all panels, and a sheet of stickers that
// carry the number of each panel and the numbers of its partners.

#include <string>
#include <vector>

#include "engine/building/colourings.h"
#include "engine/building/joint_sides.h"
#include "results/drawings/page.h"

namespace sixtyfold {

/// An edge, seat or slot of one panel, and what it is glued to.
struct Partner {
  std::string own;    ///< "tab A", "seat B", "edge C", "slot A1"
  int panel = 0;      ///< the other copy, counted from 0
  std::string other;  ///< its edge, seat or slot
  int joint = 0;      ///< number of the construction's joint
};

/// partners[copy], by letter; every joint of the construction stands with both of its panels.
std::vector<std::vector<Partner>> find_partners(const Design& design, const Finished& finished,
                                                const JointSides& sides);

/// "panel, edge, goes to panel, edge" of every panel, then the stickers.
std::vector<Page> make_partner_pages(const Design& design, const Finished& finished,
                                     const ColourScheme& colours, const Vec2& paper_mm);

}  // namespace sixtyfold
