#pragma once
// How much light passes: the share of directions from the centre that no panel blocks.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

/// A panel as the centre sees it. Holes let light through.
struct Shade {
  const Frame& frame;
  const Polygon& outline_mm;
  std::span<const Polygon> holes_mm = {};
};

/// The images of one panel.
struct ShadeOrbit {
  std::span<const Mat3> copies;
  Shade panel;
};

/// Reused between calls, one per thread, so that nothing is allocated in the steady state.
struct OpennessWorkspace {
  /// Normal and axes of every copy, and what tells quickly whether a point lies on the panel.
  struct Blocker {
    double distance = 0, least_cosine = 0;
    Vec2 foot = Vec2::Zero();  ///< the plane's point nearest to the centre, in its coordinates
    std::vector<double> x, y, z, cosine;
    std::vector<Vec3> across, up;
    /// The panel's box cut into 64 rows of 64 cells. A cell that the boundary passes through has
    /// its bit set in `mixed`; of the others `inside` tells.
    static constexpr int cells = 64;
    Vec2 corner = Vec2::Zero(), cells_per_mm = Vec2::Zero();
    std::array<std::uint64_t, cells> mixed, inside;
    struct Edge {
      Vec2 low, rise;
      double high_y;
    };
    std::vector<Edge> edges, sorted;  ///< sorted: row by row, those that reach the row
    std::array<int, cells + 1> row_start;
  };
  std::vector<Blocker> blockers;
};

/// Share of `directions` rays from the centre that meet no copy, 0 (closed) to 1. The rays are the
/// points of a Fibonacci spiral (Gonzalez 2010), the same every time; where the copies are images
/// under a group every ray counts for its whole orbit. At 128 rays the answer is good to about
/// 0.03, at 4096 to about 0.005. A plane through the centre blocks nothing: it is seen edge on.
double measure_openness(std::span<const ShadeOrbit> orbits, int directions,
                        OpennessWorkspace& work);

double measure_openness(std::span<const ShadeOrbit> orbits, int directions = 128);
double measure_openness(std::span<const Mat3> copies, const Shade& panel, int directions = 128);

}  // namespace sixtyfold
