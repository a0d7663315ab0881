#pragma once
// Fits the tabs of a construction: as deep as wanted or as fits, in the flat and once they are
// folded.

#include <vector>

#include "engine/part/flat_pattern.h"
#include "engine/part/part_joints.h"

namespace sixtyfold {

/// shapes[o][i] for joint i of part o; see TabShape.
using TabShapes = std::vector<std::vector<TabShape>>;

/// outlines[o] is part o, holes[o] what is cut out of it (none: no part has holes). Promises for
/// every tab of depth > 0:
/// 1. flat, it keeps options.gap_mm from the body and from every other tab;
/// 2. folded, it lies inside the outline of the part it is glued to, behind no fold, and keeps
///    options.gap_mm from its holes, the other tabs and from the copies that land on the same face;
/// 3. tabs with one letter have one shape, so the part keeps the symmetry of its outline.
/// Not promised: room between a folded tab and a copy that is joined to neither (see slab.h).
TabShapes fit_tabs(const std::vector<Polygon>& outlines, const PartJoints& joints,
                   const FlatOptions& options, const std::vector<std::vector<Polygon>>& holes = {});

/// The face that a folded tab covers, in the plane of the part it is glued to, and the face's side.
struct TabFootprint {
  Polygon tab_mm;   ///< crease from the tab's fold_from to fold_to, then the outer edge back
  Polygon area_mm;  ///< the same counter-clockwise
  Polygon glue_mm;  ///< what must lie on the mate: without the fold where that is past its edge
  int side = 1;     ///< +1 the normal's face
};
/// `tab_side` is the side of the pair (0 or 1) that carries the tab.
TabFootprint make_footprint(const PartJoints& joints, const JointPair& pair, int tab_side,
                            const TabShape& shape, const FlatOptions& options);

/// Whether a tab of the joint is glued to its own like, turned end for end: only an even tab then
/// lies on the whole of the other. And the even tab within a shape.
bool meets_its_turned_like(const PartJoints& joints, int part, int joint);
TabShape make_even(TabShape shape);

/// The side of the pair that carries the tab; -1 when none or both do.
int find_tab_side(const PartJoints& joints, const JointPair& pair);

}  // namespace sixtyfold
