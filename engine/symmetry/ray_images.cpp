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

RayImages make_unsorted_ray_images(std::span<const Mat3> copies, std::span<const Vec3> rays) {
  RayImages result;
  result.rays = static_cast<int>(rays.size());
  result.turns.assign(1, Mat3::Identity());
  for (std::size_t i = 0; i < rays.size(); ++i)
    for (const Mat3& copy : copies) {
      const Vec3 image = copy.transpose() * rays[i];
      result.x.push_back(image.x());
      result.y.push_back(image.y());
      result.z.push_back(image.z());
      result.ray.push_back(static_cast<std::int32_t>(i));
    }
  return result;
}

RayImages make_ray_images(std::span<const Mat3> group, std::span<const Vec3> rays) {
  const RayImages images = make_unsorted_ray_images(group, rays);
  RayImages result;
  result.rays = images.rays;
  // Any direction that lies on no axis and in no mirror plane will do.
  result.seed = Vec3(0.31, 0.52, 1.07).normalized();
  result.turns.assign(group.begin(), group.end());
  std::vector<double> cosines(images.size());
  for (std::size_t i = 0; i < images.size(); ++i)
    cosines[i] = result.seed.dot(Vec3(images.x[i], images.y[i], images.z[i]));
  std::vector<std::size_t> order(images.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return cosines[a] != cosines[b] ? cosines[a] > cosines[b] : a < b;
  });
  for (const std::size_t i : order) {
    result.x.push_back(images.x[i]);
    result.y.push_back(images.y[i]);
    result.z.push_back(images.z[i]);
    result.seed_cosine.push_back(cosines[i]);
    result.ray.push_back(images.ray[i]);
  }
  return result;
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
