#pragma once
// What the eye makes out of a construction from far away.

#include <cstdint>
#include <span>
#include <vector>

#include "engine/shape/openness.h"

namespace sixtyfold {

struct Sight {
  /// Share of the filled silhouette through which one sees the background: mean over the darker
  /// half of the views. 0 for anything closed.
  double see_through = 0;
  /// Share of a panel's projection that no other panel hides, mean over panels and views: 1/2 for a
  /// convex closed body, whose far half is hidden.
  double legibility = 0;
};

/// Reused between calls, one per thread.
struct SightWorkspace {
  std::vector<int> owner;              ///< panel seen in each cell of the picture that is covered
  std::vector<float> depth;            ///< of what is seen there, growing towards the eye
  std::vector<std::uint64_t> covered;  ///< by row, a bit for each cell
  std::vector<std::uint64_t> outside;  ///< the same: from which the border is reached
  std::vector<std::vector<float>> crossings;  ///< of each row, with one panel's border
  std::vector<int> shown, projected;
};

/// In parallel projection along 12 directions of a spiral (make_spiral_rays), in pictures of 48 x
/// 48 cells across the enclosing sphere; panels have no thickness. Good to about 0.01 beside finer
/// pictures, 0.02 beside more directions. About half a millisecond for 60 panels.
Sight measure_sight(std::span<const ShadeOrbit> orbits, SightWorkspace& work);
Sight measure_sight(std::span<const ShadeOrbit> orbits);

}  // namespace sixtyfold
