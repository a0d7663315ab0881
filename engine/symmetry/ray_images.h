#pragma once
// Rays as one panel sees them: instead of all copies against a ray, one panel against all images of
// the ray.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

/// Where one looks out from and which way. The start lies abeam of the centre: at right angles to
/// the direction, in units of the radius of whatever is looked at.
struct Ray {
  Vec3 direction = Vec3::UnitZ(), start = Vec3::Zero();
};

/// The rays g^-1 r for all rays r and all g, nearest to a seed direction first. Where the g
/// are a group the images are carried into themselves by it, so that a panel may be turned by any g
/// before it is held against them: turned to lie near the seed, few images need looking at.
/// Made once and shared by every variant and thread.
struct RayImages {
  int rays = 0;
  Vec3 seed = Vec3::UnitZ();
  double farthest = 0;          ///< start of any ray
  std::vector<double> x, y, z;  ///< directions of the images, unit vectors
  std::vector<double> start_x, start_y, start_z;
  /// x, y, z and start_x, start_y, start_z rounded, with zeros up to whole eights, for a first
  /// look.
  std::array<std::vector<float>, 6> rounded;
  std::vector<double> seed_cosine;  ///< of the angle to the seed, falling; empty: in no order
  std::vector<std::int32_t> ray;    ///< whose image it is, 0 .. rays - 1
  std::vector<Mat3> turns;          ///< the identity, or the whole group

  /// The turn that brings `direction` nearest to the seed.
  const Mat3& find_turn(const Vec3& direction) const;
  std::size_t size() const { return x.size(); }
};

/// Images under a whole group.
RayImages make_ray_images(std::span<const Mat3> group, std::span<const Ray> rays);
/// Images under any copies, in no order: for one panel sorting would take longer than it saves.
RayImages make_unsorted_ray_images(std::span<const Mat3> copies, std::span<const Ray> rays);

/// The points of a Fibonacci spiral (Gonzalez 2010), evenly spread over the sphere.
std::vector<Vec3> make_spiral_rays(int count);

/// Along a spiral, all from the centre.
std::vector<Ray> make_central_rays(int count);
/// Along a spiral, and each abeam of the centre by up to `farthest_aside` of the radius, evenly
/// over that disc: the far halves of lines of sight through the middle of the construction. A panel
/// in a plane through the centre, which the centre sees edge on, is in the way of them like any
/// other.
inline constexpr double farthest_aside = 0.4;
std::vector<Ray> make_sight_rays(int count);

}  // namespace sixtyfold
