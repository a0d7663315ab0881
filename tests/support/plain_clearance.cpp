#include "tests/support/plain_clearance.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/tolerance.h"

namespace sixtyfold::plain {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// One copy in space.
struct Copy {
  Vec3 normal;
  std::vector<Vec3> outline, body;
};

struct Pair {
  Vec3 first, second;
  double distance() const { return (first - second).norm(); }
};

void take_nearer(Pair& nearest, const Pair& other) {
  if (other.distance() < nearest.distance()) nearest = other;
}

Vec3 find_on_segment(const Vec3& p, const Vec3& a, const Vec3& b) {
  return a + std::clamp((p - a).dot(b - a) / (b - a).squaredNorm(), 0.0, 1.0) * (b - a);
}

/// Of two segments: at an end of one of them, or where both are met by their common perpendicular.
Pair find_nearest(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  const Vec3 across = (b - a).cross(d - c);
  const double square = across.squaredNorm();
  if (!(square > 1e-14 * (b - a).squaredNorm() * (d - c).squaredNorm())) {
    // Parallel: in the middle of where they run side by side.
    const Vec3 middle = (find_on_segment(c, a, b) + find_on_segment(d, a, b)) / 2;
    const Vec3 mate = find_on_segment(middle, c, d);
    return {find_on_segment(mate, a, b), mate};
  }
  Pair nearest{a, find_on_segment(a, c, d)};
  take_nearer(nearest, {b, find_on_segment(b, c, d)});
  take_nearer(nearest, {find_on_segment(c, a, b), c});
  take_nearer(nearest, {find_on_segment(d, a, b), d});
  const double s = (c - a).cross(d - c).dot(across) / square,
               t = (c - a).cross(b - a).dot(across) / square;
  if (0 <= s && s <= 1 && 0 <= t && t <= 1)
    take_nearer(nearest, {a + s * (b - a), c + t * (d - c)});
  return nearest;
}

using Rectangle = std::array<Vec3, 4>;

Rectangle make_wall(const Vec3& from, const Vec3& to, const Vec3& half) {
  return {from - half, to - half, to + half, from + half};
}

/// Shares of the rectangle's sides at which the foot of a point lies.
Vec2 find_shares(const Vec3& p, const Rectangle& r) {
  return {(p - r[0]).dot(r[1] - r[0]) / (r[1] - r[0]).squaredNorm(),
          (p - r[0]).dot(r[3] - r[0]) / (r[3] - r[0]).squaredNorm()};
}
bool is_inside(const Vec2& shares) { return 0 <= shares.minCoeff() && shares.maxCoeff() <= 1; }

bool pierces(const Vec3& a, const Vec3& b, const Rectangle& r) {
  const Vec3 normal = (r[1] - r[0]).cross(r[3] - r[0]);
  const double from = normal.dot(a - r[0]), to = normal.dot(b - r[0]);
  if (from * to > 0 || from == to) return false;
  return is_inside(find_shares(a + from / (from - to) * (b - a), r));
}

double measure_distance(const Rectangle& a, const Rectangle& b) {
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < 4; ++i) {
    const Vec3 &p = a[i], &q = a[(i + 1) % 4];
    for (std::size_t k = 0; k < 4; ++k)
      nearest = std::min(nearest, find_nearest(p, q, b[k], b[(k + 1) % 4]).distance());
    if (pierces(p, q, b) || pierces(b[i], b[(i + 1) % 4], a)) return 0;
    for (const auto& [point, face] : {std::pair(p, &b), std::pair(b[i], &a)})
      if (is_inside(find_shares(point, *face)))
        nearest = std::min(nearest, std::abs(((*face)[1] - (*face)[0])
                                                 .cross((*face)[3] - (*face)[0])
                                                 .normalized()
                                                 .dot(point - (*face)[0])));
  }
  return nearest;
}

class Meter {
 public:
  Meter(const Slabs& slabs, double up_to_mm) : slabs_(slabs), nearest_(up_to_mm) {}

  double measure() {
    const OrbitScheme& scheme = slabs_.scheme;
    const Copy own = make_copy(0);
    bool any = false;
    // Every element but those that keep the panel: some lead to the same copy.
    for (int e = 0; e < scheme.group->order(); ++e) {
      if (scheme.copy_of[index(e)] == 0 || is_joined(e)) continue;
      any = true;
      compare(own, make_copy(e));
    }
    return any ? nearest_ : 0;
  }

 private:
  /// Is the pair (P, eP) an image of a joined one (P, gP)? e = h g k or h g^-1 k with h, k in H.
  bool is_joined(int e) const {
    const OrbitScheme& scheme = slabs_.scheme;
    for (std::size_t i = 0; i < scheme.pairs.size(); ++i) {
      if (!slabs_.joined[i]) continue;
      for (const int g : {scheme.pairs[i].element, scheme.pairs[i].inverse})
        for (const int h : scheme.outline_stabiliser)
          for (const int k : scheme.outline_stabiliser)
            if (scheme.group->multiply(scheme.group->multiply(h, g), k) == e) return true;
    }
    return false;
  }

  Copy make_copy(int e) const {
    const Mat3& g = slabs_.scheme.group->elements[index(e)];
    Copy copy;
    copy.normal = g * slabs_.frame.normal;
    for (const Vec2& p : slabs_.outline_mm) copy.outline.push_back(g * slabs_.frame.to_space(p));
    for (const Vec2& p : slabs_.body_mm) copy.body.push_back(g * slabs_.frame.to_space(p));
    return copy;
  }

  /// In the coordinates of the outline, of a point over a copy.
  Vec2 find_foot(const Copy& copy, const std::vector<Vec3>& loop, const Polygon& drawn,
                 const Vec3& p) const {
    // The copy's axes, told from three of its points.
    const Vec2 u = drawn[1] - drawn[0];
    const Vec3 along = (loop[1] - loop[0]) / u.squaredNorm();
    Vec3 left = copy.normal.cross(along);
    const std::size_t far = find_farthest(drawn);
    const Vec2 v = drawn[far] - drawn[0];
    if ((loop[far] - loop[0]).dot(left) * cross(u, v) < 0) left = -left;
    const double a = along.dot(p - loop[0]), b = left.dot(p - loop[0]);
    return drawn[0] + a * u + b * Vec2(-u.y(), u.x());
  }
  static std::size_t find_farthest(const Polygon& drawn) {
    std::size_t far = 0;
    for (std::size_t i = 0; i < drawn.size(); ++i)
      if (std::abs(cross(Vec2(drawn[1] - drawn[0]), Vec2(drawn[i] - drawn[0]))) >
          std::abs(cross(Vec2(drawn[1] - drawn[0]), Vec2(drawn[far] - drawn[0]))))
        far = i;
    return far;
  }

  void find_shared(const Copy& self, const Copy& mate, std::vector<Vec3>& shared) const {
    const double band = 2 * contact_band_mm;
    for (const Vec3& p : self.outline) {
      if (std::abs(mate.normal.dot(p - mate.outline[0])) > band) continue;
      const Vec2 foot = find_foot(mate, mate.outline, slabs_.outline_mm, p);
      if (contains(slabs_.outline_mm, foot) || distance_to_boundary(slabs_.outline_mm, foot) < band)
        shared.push_back(p);
    }
  }

  void compare(const Copy& a, const Copy& b) {
    std::vector<Vec3> shared;
    const bool are_parallel = a.normal.cross(b.normal).norm() < 1e-7;
    if (!are_parallel) {
      find_shared(a, b, shared);
      find_shared(b, a, shared);
    }
    const double t = slabs_.thickness_mm;
    const auto is_at_shared = [&](const Pair& pair) {
      return std::any_of(shared.begin(), shared.end(), [&](const Vec3& p) {
        return (pair.first - p).norm() <= shared_reach * t &&
               (pair.second - p).norm() <= shared_reach * t;
      });
    };
    const std::size_t n = a.body.size();
    for (std::size_t i = 0; i < n; ++i)
      for (std::size_t k = 0; k < n; ++k) {
        const Vec3 &p = a.body[i], &q = a.body[(i + 1) % n], &r = b.body[k],
                   &s = b.body[(k + 1) % n];
        if (((p + q) - (r + s)).norm() / 2 > ((p - q).norm() + (r - s).norm()) / 2 + nearest_ + t)
          continue;
        if (is_at_shared(find_nearest(p, q, r, s))) continue;
        nearest_ = std::min(nearest_, measure_distance(make_wall(p, q, t / 2 * a.normal),
                                                       make_wall(r, s, t / 2 * b.normal)));
      }
    compare_corners(a, b, is_at_shared);
    compare_corners(b, a, is_at_shared);
  }

  template <typename IsAtShared>
  void compare_corners(const Copy& self, const Copy& mate, const IsAtShared& is_at_shared) {
    const double t = slabs_.thickness_mm;
    for (const Vec3& corner : self.body)
      for (const double end : {-t / 2, t / 2}) {
        const Vec3 point = corner + end * self.normal;
        const double height = mate.normal.dot(point - mate.body[0]);
        if (std::abs(height) - t / 2 >= nearest_) continue;
        if (!contains(slabs_.body_mm, find_foot(mate, mate.body, slabs_.body_mm, point))) continue;
        const double corner_height = mate.normal.dot(corner - mate.body[0]);
        if (is_at_shared({corner, corner - corner_height * mate.normal})) continue;
        nearest_ = std::min(nearest_, std::max(0.0, std::abs(height) - t / 2));
      }
  }

  const Slabs& slabs_;
  double nearest_;
};

}  // namespace

double measure_clearance(const Slabs& slabs, double up_to_mm) {
  return Meter(slabs, up_to_mm).measure();
}

}  // namespace sixtyfold::plain
