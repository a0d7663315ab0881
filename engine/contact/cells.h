#pragma once
// Cells of the arrangement that the meeting lines make of a panel's plane: the pieces of a
// stellation diagram (Coxeter, du Val, Flather and Petrie 1938). Outlines made of whole cells have
// all their edges on planes of other copies.

#include <vector>

#include "engine/contact/meeting_line.h"
#include "engine/contact/span.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold {

/// Joins the cells whose centroid lies inside `shape` and that hang together with the hub's by
/// edges, and fills what they surround; the edges of `outline` carry the numbers of their lines.
/// Promises: a simple outline with the hub strictly inside, or an empty one: when the hub lies on a
/// line, its cell is not bounded, cells touch in a corner only, or more than `most_cells` are taken
/// or lie beside taken ones.
void join_cells(const OrbitScheme& scheme, const std::vector<MeetingLine>& lines,
                const Polygon& shape, const Vec2& hub, int most_cells, LabelledOutline& outline);

}  // namespace sixtyfold
