#pragma once
// All directions in which a convex body, pushed along a straight line, runs into another: an open
// convex cone. And a search of the whole sphere of directions that needs no grid.

#include <functional>
#include <optional>
#include <vector>

#include "engine/contact/convex_distance.h"

namespace sixtyfold {

/// The body moved by s * d, s > 0, meets the other for some s exactly when the ray along d meets
/// the difference (other - body), which is convex. So the blocked directions are the cone over it:
/// the global, exact form of the blocking of Wilson and Latombe 1994 ("Geometric reasoning about
/// mechanical assembly", their extended translations).
struct BlockingCone {
  bool everything = false;  ///< the two overlap to begin with
  std::vector<Vec3>
      walls;  ///< d is blocked when walls[i].d > 0 for all i; none: nothing is blocked

  bool contains(const Vec3& direction) const {
    for (const Vec3& wall : walls)
      if (!(wall.dot(direction) > 0)) return false;
    return everything || !walls.empty();
  }
};

BlockingCone find_blocking_cone(const ConvexPlate& moving, const ConvexPlate& standing);

/// What a search of all directions came to.
struct DirectionSearch {
  std::optional<Vec3> free;  ///< unit; none: there is no free direction
  /// Without a free one: no direction stays free when it is turned by so much, in every way. 0:
  /// none is free at all, proved.
  double doubt_deg = 0;
};

/// Searches the sphere by triangles that are split until each lies in one cone, which proves it
/// blocked, or has a free middle. `blocks(d)` is asked where the cones known so far leave a middle
/// open, and appends to `cones` a cone that contains d, or does not: then d is free. Triangles of
/// 0.0014 degrees that lie in no single cone stay in doubt.
DirectionSearch search_directions(std::vector<BlockingCone>& cones,
                                  const std::function<bool(const Vec3&)>& blocks);

}  // namespace sixtyfold
