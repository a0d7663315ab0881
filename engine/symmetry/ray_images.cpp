#include "engine/symmetry/ray_images.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

namespace sixtyfold {

const Mat3& RayImages::find_turn(const Vec3& direction) const {
  const Mat3* best = &turns.front();
  double nearest = -2;
  for (const Mat3& turn : turns) {
    const double cosine = seed.dot(turn * direction);
    if (cosine > nearest) nearest = cosine, best = &turn;
  }
  return *best;
}

RayImages make_ray_images(std::span<const Mat3> copies, std::span<const Vec3> rays,
                          const Vec3& seed) {
  const std::size_t count = copies.size() * rays.size();
  std::vector<Vec3> images;
  images.reserve(count);
  for (const Vec3& ray : rays)
    for (const Mat3& copy : copies) images.push_back(copy.transpose() * ray);
  std::vector<double> cosines(count);
  for (std::size_t i = 0; i < count; ++i) cosines[i] = seed.dot(images[i]);
  std::vector<std::size_t> order(count);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return cosines[a] != cosines[b] ? cosines[a] > cosines[b] : a < b;
  });
  RayImages result;
  result.rays = static_cast<int>(rays.size());
  result.seed = seed;
  result.turns.assign(1, Mat3::Identity());
  for (const std::size_t i : order) {
    result.x.push_back(images[i].x());
    result.y.push_back(images[i].y());
    result.z.push_back(images[i].z());
    result.seed_cosine.push_back(cosines[i]);
    result.ray.push_back(static_cast<std::int32_t>(i / copies.size()));
  }
  return result;
}

RayImages make_ray_images(std::span<const Mat3> group, std::span<const Vec3> rays) {
  // Any direction that lies on no axis and in no mirror plane will do.
  RayImages images = make_ray_images(group, rays, Vec3(0.31, 0.52, 1.07).normalized());
  images.turns.assign(group.begin(), group.end());
  return images;
}

std::vector<Vec3> make_spiral_rays(int count) {
  assert(count > 0);
  const double golden_angle = pi * (3 - std::sqrt(5.0));
  std::vector<Vec3> rays;
  for (int i = 0; i < count; ++i) {
    const double height = 1 - (2 * i + 1.0) / count, radius = std::sqrt(1 - height * height);
    // Half a step on, so that no ray lies in a mirror plane, where panels may meet edge to edge.
    const double angle = golden_angle * (i + 0.5);
    rays.emplace_back(radius * std::cos(angle), radius * std::sin(angle), height);
  }
  return rays;
}

}  // namespace sixtyfold
