#pragma once
// Rays from the centre as one panel sees them: instead of all copies against a ray, one panel
// against all images of the ray.

#include <cstdint>
#include <span>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

/// The directions g^-1 r for all rays r and all g, nearest to a seed direction first. Where the g
/// are a group the images are carried into themselves by it, so that a panel may be turned by any g
/// before it is held against them: turned to lie near the seed, few images need looking at.
/// Made once and shared by every variant and thread.
struct RayImages {
  int rays = 0;
  Vec3 seed = Vec3::UnitZ();
  std::vector<double> x, y, z;      ///< the images, unit vectors
  std::vector<double> seed_cosine;  ///< of the angle to the seed, falling; empty: in no order
  std::vector<std::int32_t> ray;    ///< whose image it is, 0 .. rays - 1
  std::vector<Mat3> turns;          ///< the identity, or the whole group

  /// The turn that brings `direction` nearest to the seed.
  const Mat3& find_turn(const Vec3& direction) const;
  std::size_t size() const { return x.size(); }
};

/// Images under a whole group.
RayImages make_ray_images(std::span<const Mat3> group, std::span<const Vec3> rays);
/// Images under any copies, in no order: for one panel sorting would take longer than it saves.
RayImages make_unsorted_ray_images(std::span<const Mat3> copies, std::span<const Vec3> rays);

/// The points of a Fibonacci spiral (Gonzalez 2010), evenly spread over the sphere.
std::vector<Vec3> make_spiral_rays(int count);

}  // namespace sixtyfold
