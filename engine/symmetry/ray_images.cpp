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

namespace {

void round_numbers(RayImages& images) {
  const std::vector<double>* exact[] = {&images.x,       &images.y,       &images.z,
                                        &images.start_x, &images.start_y, &images.start_z};
  for (std::size_t k = 0; k < 6; ++k) {
    images.rounded[k].assign(exact[k]->begin(), exact[k]->end());
    images.rounded[k].resize((images.size() + 7) / 8 * 8, 0);
  }
}

}  // namespace

RayImages make_unsorted_ray_images(std::span<const Mat3> copies, std::span<const Ray> rays) {
  RayImages result;
  result.rays = static_cast<int>(rays.size());
  result.turns.assign(1, Mat3::Identity());
  for (std::size_t i = 0; i < rays.size(); ++i)
    for (const Mat3& copy : copies) {
      const Vec3 image = copy.transpose() * rays[i].direction;
      result.x.push_back(image.x());
      result.y.push_back(image.y());
      result.z.push_back(image.z());
      const Vec3 start = copy.transpose() * rays[i].start;
      result.start_x.push_back(start.x());
      result.start_y.push_back(start.y());
      result.start_z.push_back(start.z());
      result.ray.push_back(static_cast<std::int32_t>(i));
    }
  for (const Ray& ray : rays) result.farthest = std::max(result.farthest, ray.start.norm());
  round_numbers(result);
  return result;
}

RayImages make_ray_images(std::span<const Mat3> group, std::span<const Ray> rays) {
  const RayImages images = make_unsorted_ray_images(group, rays);
  RayImages result;
  result.rays = images.rays;
  result.farthest = images.farthest;
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
    result.start_x.push_back(images.start_x[i]);
    result.start_y.push_back(images.start_y[i]);
    result.start_z.push_back(images.start_z[i]);
    result.seed_cosine.push_back(cosines[i]);
    result.ray.push_back(images.ray[i]);
  }
  round_numbers(result);
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

std::vector<Ray> make_central_rays(int count) {
  std::vector<Ray> rays;
  for (const Vec3& direction : make_spiral_rays(count)) rays.push_back({direction, Vec3::Zero()});
  return rays;
}

std::vector<Ray> make_sight_rays(int count) {
  // The two numbers of the plastic ratio p, p^3 = p + 1, spread points evenly over a square, and so
  // over a disc (Roberts 2018).
  constexpr double plastic = 1.3247179572447460;
  std::vector<Ray> rays = make_central_rays(count);
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const double u = static_cast<double>(i + 1) / plastic, v = u / plastic;
    const double aside = farthest_aside * std::sqrt(u - std::floor(u));
    const double turn = 2 * pi * (v - std::floor(v));
    const Vec3 right = rays[i].direction.unitOrthogonal();
    const Vec3 up = rays[i].direction.cross(right);
    rays[i].start = aside * (std::cos(turn) * right + std::sin(turn) * up);
  }
  return rays;
}

}  // namespace sixtyfold
