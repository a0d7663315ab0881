#pragma once
// How much light passes: the share of the lines of sight out of the middle that no panel blocks.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"
#include "engine/symmetry/ray_images.h"

namespace sixtyfold {

/// A panel as the middle sees it. Holes let light through.
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
  /// What tells quickly whether a point lies on the panel: its box cut into 32 rows of 32 cells. A
  /// cell that the boundary passes through has its bit set in `mixed`; of the others `inside`
  /// tells. One row more, with nothing in it, stands for all outside the box.
  static constexpr int cells = 32;
  Vec2 corner = Vec2::Zero(), cells_per_mm = Vec2::Zero();
  std::array<std::uint64_t, cells + 1> mixed, inside;
  /// Edges upwards: start, way to the end, height of the end. Filled up to whole fours with such as
  /// no ray meets.
  std::vector<double> low_x, low_y, rise_x, rise_y, high_y;
  std::vector<unsigned char> blocked;  ///< by ray
};

/// Share of the rays that meet no image of the panel, 0 (closed) to 1. The rays are in units of the
/// radius of the sphere about the centre that encloses all images. With 96 rays
/// (make_sight_rays) and the images under a group of order 24 or more, where every ray counts for
/// its whole orbit, the answer is good to about 0.03 (root mean square); with 1024 to about 0.01,
/// with 4096 to 0.005.
double measure_openness(const Shade& panel, const RayImages& images, OpennessWorkspace& work);

/// The same for several panels.
double measure_openness(std::span<const ShadeOrbit> orbits, std::span<const Ray> rays);
/// With so many sight rays.
double measure_openness(std::span<const ShadeOrbit> orbits, int rays = 128);
double measure_openness(std::span<const Mat3> copies, const Shade& panel, int rays = 128);

}  // namespace sixtyfold
