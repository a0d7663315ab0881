#include "engine/contact/convex_distance.h"

#include <cmath>
#include <limits>

namespace sixtyfold {

namespace {

/// A vertex of the difference body, with the two points it comes from.
struct Vertex {
  Vec3 w = Vec3::Zero(), a = Vec3::Zero(), b = Vec3::Zero();
};

Vec3 find_support(const ConvexPlate& plate, const Vec3& direction) {
  double best = -std::numeric_limits<double>::infinity();
  const Vec3* point = nullptr;
  for (const Vec3& p : plate.middle) {
    const double reach = p.dot(direction);
    if (reach > best) best = reach, point = &p;
  }
  return plate.half.dot(direction) >= 0 ? Vec3(*point + plate.half) : Vec3(*point - plate.half);
}

/// A simplex cut down to the face nearest to the origin, with that point's barycentric weights.
struct Simplex {
  Vertex v[4];
  double weight[4] = {1, 0, 0, 0};
  int size = 0;

  Vec3 nearest() const {
    Vec3 p = Vec3::Zero();
    for (int i = 0; i < size; ++i) p += weight[i] * v[i].w;
    return p;
  }
};

Simplex make_point(const Vertex& a) {
  Simplex s;
  s.v[0] = a;
  s.size = 1;
  return s;
}

Simplex reduce_segment(const Vertex& a, const Vertex& b) {
  const Vec3 ab = b.w - a.w;
  const double length = ab.squaredNorm();
  const double t = length > 0 ? -a.w.dot(ab) / length : 0;
  if (!(t > 0)) return make_point(a);
  if (t >= 1) return make_point(b);
  Simplex s;
  s.v[0] = a, s.v[1] = b;
  s.weight[0] = 1 - t, s.weight[1] = t;
  s.size = 2;
  return s;
}

Simplex nearer(const Simplex& a, const Simplex& b) {
  return a.nearest().squaredNorm() <= b.nearest().squaredNorm() ? a : b;
}

Simplex reduce_triangle(const Vertex& a, const Vertex& b, const Vertex& c) {
  const Vec3 ab = b.w - a.w, ac = c.w - a.w, normal = ab.cross(ac);
  const double area = normal.squaredNorm();
  if (area > 1e-24 * ab.squaredNorm() * ac.squaredNorm()) {
    // Barycentric coordinates of the origin's projection.
    const double u = b.w.cross(c.w).dot(normal) / area, v = c.w.cross(a.w).dot(normal) / area;
    const double w = 1 - u - v;
    if (u >= 0 && v >= 0 && w >= 0) {
      Simplex s;
      s.v[0] = a, s.v[1] = b, s.v[2] = c;
      s.weight[0] = u, s.weight[1] = v, s.weight[2] = w;
      s.size = 3;
      return s;
    }
  }
  return nearer(nearer(reduce_segment(a, b), reduce_segment(b, c)), reduce_segment(c, a));
}

/// Size 4 means the origin lies inside.
Simplex reduce_tetrahedron(const Vertex* v) {
  static constexpr int faces[4][4] = {{0, 1, 2, 3}, {0, 3, 1, 2}, {0, 2, 3, 1}, {1, 3, 2, 0}};
  Simplex best;
  bool outside = false;
  for (const auto& f : faces) {
    const Vertex &a = v[f[0]], &b = v[f[1]], &c = v[f[2]], &d = v[f[3]];
    const Vec3 normal = (b.w - a.w).cross(c.w - a.w);
    const double origin = -a.w.dot(normal), apex = (d.w - a.w).dot(normal);
    // A flat tetrahedron has no inside: every face counts.
    const bool flat = std::abs(apex) <= 1e-12 * normal.norm() * (d.w - a.w).norm();
    if (!flat && origin * apex > 0) continue;
    const Simplex face = reduce_triangle(a, b, c);
    best = outside ? nearer(best, face) : face;
    outside = true;
  }
  if (outside) return best;
  for (int i = 0; i < 4; ++i) best.v[i] = v[i];
  best.size = 4;
  return best;
}

Simplex reduce(const Simplex& s) {
  switch (s.size) {
    case 1:
      return make_point(s.v[0]);
    case 2:
      return reduce_segment(s.v[0], s.v[1]);
    case 3:
      return reduce_triangle(s.v[0], s.v[1], s.v[2]);
    default:
      return reduce_tetrahedron(s.v);
  }
}

/// The simplex of the difference body that is nearest to the origin; of size 0 when the bodies
/// meet. Who wants to know only whether they do gets any simplex once a plane keeps them apart.
Simplex approach(const ConvexPlate& a, const ConvexPlate& b, double beyond) {
  const auto support = [&](const Vec3& direction) {
    Vertex vertex;
    vertex.a = find_support(a, direction);
    vertex.b = find_support(b, -direction);
    vertex.w = vertex.a - vertex.b;
    return vertex;
  };
  Simplex simplex = make_point(support(b.middle.front() - a.middle.front()));
  double last = std::numeric_limits<double>::infinity();
  double size = simplex.v[0].w.norm();
  for (int round = 0; round < 100; ++round) {
    const Vec3 nearest = simplex.nearest();
    const double square = nearest.squaredNorm();
    if (square <= 1e-16 * size * size) return {};
    if (!(square < last)) break;
    last = square;
    const Vertex next = support(-nearest);
    size = std::max(size, next.w.norm());
    const double apart = nearest.dot(next.w);
    if (apart > (beyond + 1e-7 * size) * std::sqrt(square)) break;
    if (square - apart <= 1e-10 * square + 1e-14 * size) break;
    Simplex grown = simplex;
    grown.v[grown.size++] = next;
    simplex = reduce(grown);
    if (simplex.size == 4) return {};
  }
  return simplex;
}

}  // namespace

ConvexDistance measure_distance(const ConvexPlate& a, const ConvexPlate& b, double beyond) {
  const Simplex simplex = approach(a, b, beyond);
  ConvexDistance result;
  for (int i = 0; i < simplex.size; ++i) {
    result.first += simplex.weight[i] * simplex.v[i].a;
    result.second += simplex.weight[i] * simplex.v[i].b;
  }
  result.distance = (result.first - result.second).norm();
  return result;
}

bool do_meet(const ConvexPlate& a, const ConvexPlate& b) {
  const Simplex simplex = approach(a, b, 0);
  return simplex.size == 0 || !(simplex.nearest().norm() > 0);
}

}  // namespace sixtyfold
