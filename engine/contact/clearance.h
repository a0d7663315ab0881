#pragma once
// How near copies come to each other that are not joined, as slabs of board without tabs: fast, by
// the orbit scheme. engine/part/slab.h measures the finished construction, tabs and all.
//
// Promises: the smallest distance over all such pairs of copies, between walls (the edges of the
// bodies, as high as the board is thick) and from the corners of walls to faces; 0 where these
// overlap. Where two outlines share a corner, a pair of walls that comes closest within three
// thicknesses of it is not counted.

#include <array>
#include <vector>

#include "engine/contact/convex_distance.h"
#include "engine/contact/meeting_line.h"
#include "engine/shape/polygon.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold {

struct PlacedBody {
  const OrbitScheme& scheme;
  Frame frame;                            ///< in millimetres
  const std::vector<MeetingLine>& lines;  ///< by element, in units of `scale_mm`
  double scale_mm = 1;
  const Polygon& outline_mm;
  const Polygon& body_mm;  ///< what setbacks leave of it
  double thickness_mm = 4;
};

/// Buffers that are reused from variant to variant, so that nothing is allocated in the steady
/// state.
struct ClearanceWorkspace {
  /// An edge near the other copy's plane, in the coordinates of P's frame.
  struct Wall {
    Vec3 from, to;
    double low, high;  ///< positions along P's meeting line between which it is near
  };
  std::vector<double> x, y, heights, positions;  ///< of the body's vertices
  std::array<std::vector<Wall>, 2> walls;        ///< of P and of the other copy
  std::vector<Vec3> shared;
  ConvexPlate plates[2];
  std::vector<char> joined;  ///< by the scheme's pairs
};

/// In millimetres, at most `up_to_mm`: the less, the faster. 0 also when all copies are joined to
/// each other. `work.joined` says which pairs are.
double measure_clearance(const PlacedBody& placed, double up_to_mm, ClearanceWorkspace& work);

}  // namespace sixtyfold
