#include "engine/building/blocking_cone.h"

#include <algorithm>
#include <deque>

namespace sixtyfold {

namespace {

/// Splits of the octahedron's faces: the smallest have sides of 90 / 2^16 = 0.0014 degrees. Only
/// what lies along the edge of a cone is split so far.
constexpr int most_splits = 16;
/// Triangles looked at before the rest is left in doubt.
constexpr int most_triangles = 200000;

/// Halvings of a chain of walls; rounding must not go on for ever.
constexpr int most_depth = 12;

/// Misses of less count as touching.
constexpr double touch_mm = 1e-6;

Vec3 find_corner(const ConvexPlate& plate, const Vec3& direction) {
  const Vec3* best = &plate.middle.front();
  double most = best->dot(direction);
  for (const Vec3& p : plate.middle)
    if (const double reach = p.dot(direction); reach > most) most = reach, best = &p;
  return plate.half.dot(direction) >= 0 ? Vec3(*best + plate.half) : Vec3(*best - plate.half);
}

/// The difference body, standing - moving, known by its outermost corners.
struct Difference {
  const ConvexPlate &moving, &standing;

  Vec3 find_outermost(const Vec3& direction) const {
    return find_corner(standing, direction) - find_corner(moving, -direction);
  }
};

/// The corner seen farthest to the side: maximises side.k / ahead.k (Dinkelbach 1967).
Vec3 find_sidemost(const Difference& body, const Vec3& side, const Vec3& ahead) {
  Vec3 corner = body.find_outermost(side);
  for (int round = 0; round < 50; ++round) {
    const Vec3 beyond = side - side.dot(corner) / ahead.dot(corner) * ahead;
    const Vec3 next = body.find_outermost(beyond);
    if (!(beyond.dot(next) > touch_mm)) break;
    corner = next;
  }
  return corner;
}

/// Walls between two corner rays, the body on their left: split at what lies farthest out (the
/// divide and conquer of Eddy 1977, with the body's outermost corners in place of a list of
/// points).
void add_walls(const Difference& body, const Vec3& ahead, const Vec3& from, const Vec3& to,
               int depth, std::vector<Vec3>& walls) {
  const Vec3 across = from.cross(to);
  const double size = across.norm();
  if (!(size > 0)) return;
  const Vec3 wall = across / size;
  if (wall.dot(body.find_outermost(-wall)) >= -touch_mm || depth == 0) {
    walls.push_back(wall);
    return;
  }
  const Vec3 corner = find_sidemost(body, -wall, ahead);
  add_walls(body, ahead, from, corner, depth - 1, walls);
  add_walls(body, ahead, corner, to, depth - 1, walls);
}

struct Triangle {
  Vec3 corners[3];
  int splits = 0;
};

bool is_covered(const BlockingCone& cone, const Triangle& triangle) {
  return cone.contains(triangle.corners[0]) && cone.contains(triangle.corners[1]) &&
         cone.contains(triangle.corners[2]);
}

}  // namespace

BlockingCone find_blocking_cone(const ConvexPlate& moving, const ConvexPlate& standing) {
  BlockingCone cone;
  const ConvexDistance apart = measure_distance(moving, standing);
  if (!(apart.distance > 0)) {
    cone.everything = true;
    return cone;
  }
  // The difference lies beyond a plane across `ahead`; seen from the origin it is a convex polygon.
  const Vec3 ahead = (apart.second - apart.first).normalized(), side = ahead.unitOrthogonal();
  const Difference body{moving, standing};
  if (!(ahead.dot(body.find_outermost(-ahead)) > 0)) return cone;  // rounding: claim nothing
  const Vec3 right = find_sidemost(body, side, ahead), left = find_sidemost(body, -side, ahead);
  add_walls(body, ahead, left, right, most_depth, cone.walls);
  add_walls(body, ahead, right, left, most_depth, cone.walls);
  if (cone.walls.size() < 3) cone.walls.clear();
  return cone;
}

DirectionSearch search_directions(std::vector<BlockingCone>& cones,
                                  const std::function<bool(const Vec3&)>& blocks) {
  std::deque<Triangle> waiting;
  for (const double x : {-1.0, 1.0})
    for (const double y : {-1.0, 1.0})
      for (const double z : {-1.0, 1.0}) waiting.push_back({{{x, 0, 0}, {0, y, 0}, {0, 0, z}}, 0});
  DirectionSearch result;
  int seen = 0;
  for (; !waiting.empty(); waiting.pop_front()) {
    const Triangle triangle = waiting.front();
    if (++seen > most_triangles) {
      result.doubt_deg = std::max(result.doubt_deg, 90.0 / (1 << triangle.splits));
      return result;
    }
    const Vec3 middle =
        (triangle.corners[0] + triangle.corners[1] + triangle.corners[2]).normalized();
    bool covered = false, middle_blocked = false;
    for (const BlockingCone& cone : cones) {
      if (!cone.contains(middle)) continue;
      middle_blocked = true;
      if ((covered = is_covered(cone, triangle))) break;
    }
    if (covered) continue;
    if (!middle_blocked) {
      if (!blocks(middle)) {
        result.free = middle;
        return result;
      }
      if (is_covered(cones.back(), triangle)) continue;
    }
    if (triangle.splits == most_splits) {
      result.doubt_deg = std::max(result.doubt_deg, 90.0 / (1 << triangle.splits));
      continue;
    }
    Vec3 halves[3];
    for (int i = 0; i < 3; ++i)
      halves[i] = (triangle.corners[i] + triangle.corners[(i + 1) % 3]).normalized();
    for (int i = 0; i < 3; ++i)
      waiting.push_back(
          {{triangle.corners[i], halves[i], halves[(i + 2) % 3]}, triangle.splits + 1});
    waiting.push_back({{halves[0], halves[1], halves[2]}, triangle.splits + 1});
  }
  return result;
}

}  // namespace sixtyfold
