#include "results/drawings/triangulate.h"

#include <algorithm>
#include <limits>

namespace sixtyfold {
namespace {

using Loop = std::vector<int>;  // numbers of points, counter-clockwise, bridges walked both ways

double turn(const Vec2& a, const Vec2& b, const Vec2& c) { return cross(b - a, c - a); }

bool crosses(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  return turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0;
}

// True if b lies inside the corner of the loop at position i, as seen from it.
bool opens_towards(const std::vector<Vec2>& points, const Loop& loop, std::size_t i,
                   const Vec2& b) {
  const Vec2& before = points[static_cast<std::size_t>(loop[(i + loop.size() - 1) % loop.size()])];
  const Vec2& at = points[static_cast<std::size_t>(loop[i])];
  const Vec2& after = points[static_cast<std::size_t>(loop[(i + 1) % loop.size()])];
  if (turn(before, at, after) > 0) return turn(at, after, b) > 0 && turn(before, at, b) > 0;
  return !(turn(at, after, b) <= 0 && turn(before, at, b) <= 0);
}

// Joins the hole to the loop by the shortest bridge that crosses neither.
void bridge(const std::vector<Vec2>& points, Loop& loop, const std::vector<Loop>& holes_left) {
  const Loop& hole = holes_left.front();
  double shortest = std::numeric_limits<double>::infinity();
  std::size_t best_loop = 0, best_hole = 0;
  const auto at = [&](int number) -> const Vec2& {
    return points[static_cast<std::size_t>(number)];
  };
  const auto blocked = [&](const Loop& ring, const Vec2& a, const Vec2& b) {
    for (std::size_t k = 0; k < ring.size(); ++k)
      if (crosses(a, b, at(ring[k]), at(ring[(k + 1) % ring.size()]))) return true;
    return false;
  };
  for (std::size_t i = 0; i < loop.size(); ++i)
    for (std::size_t j = 0; j < hole.size(); ++j) {
      const Vec2 &a = at(loop[i]), &b = at(hole[j]);
      const double length = (a - b).squaredNorm();
      if (length >= shortest || !opens_towards(points, loop, i, b) || blocked(loop, a, b)) continue;
      if (std::any_of(holes_left.begin(), holes_left.end(),
                      [&](const Loop& ring) { return blocked(ring, a, b); }))
        continue;
      shortest = length;
      best_loop = i;
      best_hole = j;
    }
  // Out along the bridge, round the hole (clockwise), and back.
  Loop joined(loop.begin(), loop.begin() + static_cast<std::ptrdiff_t>(best_loop) + 1);
  for (std::size_t k = 0; k <= hole.size(); ++k)
    joined.push_back(hole[(best_hole + hole.size() * 2 - k) % hole.size()]);
  joined.insert(joined.end(), loop.begin() + static_cast<std::ptrdiff_t>(best_loop), loop.end());
  loop = std::move(joined);
}

}  // namespace

TrianglePatch make_triangles(const Polygon& outer, const std::vector<Polygon>& holes) {
  TrianglePatch patch;
  patch.points = outer;
  Loop loop;
  for (std::size_t i = 0; i < outer.size(); ++i) loop.push_back(static_cast<int>(i));
  std::vector<Loop> rings;
  for (const Polygon& hole : holes) {
    Loop ring;
    for (const Vec2& p : hole) {
      ring.push_back(static_cast<int>(patch.points.size()));
      patch.points.push_back(p);
    }
    if (ring.size() >= 3) rings.push_back(std::move(ring));
  }
  const auto at = [&](int number) -> const Vec2& {
    return patch.points[static_cast<std::size_t>(number)];
  };
  while (!rings.empty()) {
    bridge(patch.points, loop, rings);
    rings.erase(rings.begin());
  }

  while (loop.size() >= 3) {
    // The best ear is the roundest: slivers come last. If rounding leaves none, cut any corner.
    std::size_t best = 0;
    double best_shape = -std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const int numbers[] = {loop[(i + loop.size() - 1) % loop.size()], loop[i],
                             loop[(i + 1) % loop.size()]};
      const Vec2 &a = at(numbers[0]), &b = at(numbers[1]), &c = at(numbers[2]);
      const double area = turn(a, b, c);
      const double shape =
          area / ((b - a).squaredNorm() + (c - b).squaredNorm() + (a - c).squaredNorm() + 1e-300);
      if (area < 0 || shape <= best_shape) continue;
      const bool empty = std::none_of(loop.begin(), loop.end(), [&](int number) {
        const Vec2& p = at(number);
        if (p == a || p == b || p == c) return false;
        return turn(a, b, p) >= 0 && turn(b, c, p) >= 0 && turn(c, a, p) >= 0;
      });
      if (!empty) continue;
      best = i;
      best_shape = shape;
    }
    const std::size_t before = (best + loop.size() - 1) % loop.size();
    const std::size_t after = (best + 1) % loop.size();
    if (turn(at(loop[before]), at(loop[best]), at(loop[after])) > 0)
      patch.triangles.push_back({loop[before], loop[best], loop[after]});
    loop.erase(loop.begin() + static_cast<std::ptrdiff_t>(best));
  }
  return patch;
}

}  // namespace sixtyfold
