#pragma once
// Finished parts as triangle meshes for the Flexible Collision Library (Pan, Chitta and Manocha
// 2012), by ear clipping: neither the convex pieces nor the distance of the engine are used.

#include <fcl/fcl.h>

#include <memory>
#include <vector>

#include "engine/part/finished.h"
#include "engine/part/part_joints.h"
#include "tests/support/ear_clipping.h"

namespace sixtyfold::test {

using Mesh = fcl::BVHModel<fcl::OBBRSSd>;

/// A prism over polygon `ring`, placed by `place`, half a thickness to both sides.
template <typename Place>
void add_prism(std::vector<Vec3>& points, std::vector<fcl::Triangle>& triangles,
               const Polygon& ring, double half, const Place& place) {
  for (const auto& corners : support::find_triangles(ring))
    for (const double sign : {1.0, -1.0}) {
      const std::size_t start = points.size();
      for (const Vec2& p : corners) points.push_back(place(p, sign * half));
      triangles.emplace_back(start, start + 1, start + 2);
    }
  const std::size_t base = points.size(), n = ring.size();
  for (const double sign : {1.0, -1.0})
    for (const Vec2& p : ring) points.push_back(place(p, sign * half));
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t a = base + k, b = base + (k + 1) % n;
    triangles.emplace_back(a, b, a + n);
    triangles.emplace_back(b, b + n, a + n);
  }
}

/// The finished part, folded, from the flat pattern's own data; `half` thinner or thicker at will.
inline std::shared_ptr<Mesh> make_mesh(const FlatPattern& pattern, double half) {
  std::vector<Vec3> points;
  std::vector<fcl::Triangle> triangles;
  add_prism(points, triangles, pattern.body_mm, half,
            [](const Vec2& p, double height) { return Vec3(p.x(), p.y(), height); });
  for (const Tab& tab : pattern.tabs) {
    const Vec2 a = tab.fold_from_mm;
    // Turned about the fold line by the angle named for the builder, upwards or downwards.
    const Vec3 axis = Vec3((tab.fold_to_mm - a).x(), (tab.fold_to_mm - a).y(), 0).normalized();
    // The tab lies to the right of the axis, so turning by a positive angle takes it down.
    const Eigen::AngleAxisd turn(-tab.fold_side * tab.fold_rad, axis);
    add_prism(points, triangles, tab.outline_mm, half, [&](const Vec2& p, double height) {
      return Vec3(Vec3(a.x(), a.y(), 0) + turn * Vec3(p.x() - a.x(), p.y() - a.y(), height));
    });
  }
  auto mesh = std::make_shared<Mesh>();
  mesh->beginModel();
  mesh->addSubModel(points, triangles);
  mesh->endModel();
  return mesh;
}

inline fcl::Transform3d place_copy(const Design& design, int copy) {
  const Frame frame = make_copy_frame(design, copy);
  fcl::Transform3d t = fcl::Transform3d::Identity();
  t.linear().col(0) = frame.x_axis;
  t.linear().col(1) = frame.y_axis;
  t.linear().col(2) = frame.normal;
  t.translation() = frame.origin;
  return t;
}

}  // namespace sixtyfold::test
