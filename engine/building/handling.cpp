#include "engine/building/handling.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/part/part_joints.h"
#include "engine/shape/net_area.h"
#include "engine/structure/body.h"
#include "engine/symmetry/point_group.h"

namespace sixtyfold {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

std::vector<Vec3> find_points(const Design& design, const std::vector<int>& copies) {
  const auto corners = find_corners(design);
  std::vector<Vec3> points;
  for (const int copy : copies)
    points.insert(points.end(), corners[at(copy)].begin(), corners[at(copy)].end());
  return points;
}

}  // namespace

double measure_mass_kg(const Design& design) {
  double area = 0;
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    const Polygon& border =
        panel.flat_pattern_mm.size() >= 3 ? panel.flat_pattern_mm : panel.outline_mm;
    area += measure_net_area(border, panel.holes_mm) * static_cast<double>(orbit.copies.size());
  }
  return area * 1e-6 * design.limits.mass_kg_per_m2;
}

namespace {

/// A box about points: the opening it passes, short side and long side, and its depth.
struct Passage {
  Vec3 box_mm = Vec3(1e300, 1e300, 1e300);
  bool passes = false;  ///< the long side is no longer than the door is tall
  Vec3 direction = Vec3::UnitZ();

  bool is_better(const Passage& other) const {
    if (passes != other.passes) return passes;
    const double least = 1e-9 * box_mm[0];  // rounding
    return box_mm[0] < other.box_mm[0] - least ||
           (box_mm[0] < other.box_mm[0] + least && box_mm[1] < other.box_mm[1] - least);
  }
};

/// Carried along the direction, turned about it so that the short side is least. The least opening
/// has a side along one of the hull's.
Passage find_passage(const std::vector<Vec3>& points, const Vec3& direction, double tall_mm) {
  Passage best;
  const Frame way = make_frame(direction, 0);
  Polygon shadow;
  double low = 1e300, high = -1e300;
  for (const Vec3& p : points) {
    shadow.push_back(way.to_plane(p));
    low = std::min(low, way.height_of(p)), high = std::max(high, way.height_of(p));
  }
  const Polygon hull = make_convex_hull(shadow);
  if (hull.size() < 3) return best;  // seen on edge
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 along = (hull[(i + 1) % hull.size()] - hull[i]).normalized();
    double from = 1e300, to = -1e300, width = 0;
    for (const Vec2& p : hull) {
      from = std::min(from, along.dot(p)), to = std::max(to, along.dot(p));
      width = std::max(width, cross(along, p - hull[i]));
    }
    Passage one;
    one.box_mm = {std::min(width, to - from), std::max(width, to - from), high - low};
    one.passes = one.box_mm[1] <= tall_mm;
    one.direction = direction;
    if (one.is_better(best)) best = one;
  }
  return best;
}

/// Evenly over the half sphere (the golden spiral): to and fro is the same.
std::vector<Vec3> spread_directions(int count) {
  std::vector<Vec3> directions;
  for (int k = 0; k < count; ++k) {
    const double z = 1 - (k + 0.5) / count, r = std::sqrt(1 - z * z),
                 a = pi * (3 - std::sqrt(5.0)) * k;
    directions.emplace_back(r * std::cos(a), r * std::sin(a), z);
  }
  return directions;
}

}  // namespace

Vec3 measure_passage(const Design& design, const std::vector<int>& copies, double tall_mm) {
  const std::vector<Vec3> points = find_points(design, copies);
  std::vector<Vec3> directions = spread_directions(400);
  for (const int copy : copies) directions.push_back(make_copy_frame(design, copy).normal);
  Passage best;
  const auto try_direction = [&](const Vec3& direction) {
    const Passage one = find_passage(points, direction, tall_mm);
    if (one.is_better(best)) best = one;
  };
  for (const Vec3& direction : directions) try_direction(direction);
  // Ever closer about the best: the spiral's directions are 7 degrees apart.
  for (double step = 0.12; step > 5e-4; step /= 2) {
    const Vec3 middle = best.direction, u = middle.unitOrthogonal(), v = middle.cross(u);
    for (int k = 0; k < 8; ++k)
      try_direction(
          (middle + step * (std::cos(k * pi / 4) * u + std::sin(k * pi / 4) * v)).normalized());
  }
  best.box_mm[0] = std::max(best.box_mm[0], design.thickness_mm);
  return best.box_mm;
}

Standing measure_standing(const Design& design, const Vec3& down) {
  Standing standing;
  standing.down = down.normalized();
  standing.as_drawn = standing.down.z() < -1 + 1e-9;
  std::vector<int> all;
  for (int copy = 0; copy < count_copies(design); ++copy) all.push_back(copy);
  const Frame floor = make_frame(-standing.down, 0);
  double lowest = 1e300;
  const std::vector<Vec3> points = find_points(design, all);
  for (const Vec3& p : points) lowest = std::min(lowest, floor.height_of(p));
  Polygon feet;
  for (const Vec3& p : points)
    if (floor.height_of(p) - lowest < 2) feet.push_back(floor.to_plane(p));
  const Polygon hull = feet.size() < 3 ? feet : make_convex_hull(feet);
  standing.feet = static_cast<int>(hull.size() < 3 ? hull.size() : make_simplified(hull, 1).size());
  const Vec3 centre = find_centre_of_mass(design);
  if (hull.size() < 3 || measure_area(hull) < 100 || !contains(hull, floor.to_plane(centre)))
    return standing;
  standing.tip_deg = to_degrees(std::atan2(distance_to_boundary(hull, floor.to_plane(centre)),
                                           floor.height_of(centre) - lowest));
  return standing;
}

Standing find_best_standing(const Design& design) {
  Standing best = measure_standing(design, -Vec3::UnitZ());
  if (!is_point_group(design.symmetry)) return best;
  for (const Axis& axis : find_axes(make_point_group(design.symmetry)))
    for (const double sign : {1.0, -1.0}) {
      const Standing other = measure_standing(design, sign * axis.direction);
      if (other.tip_deg > best.tip_deg + 0.05) best = other;
    }
  return best;
}

Hanging find_hanging(const Design& design, int points, const GlueLine& glue) {
  const auto corners = find_corners(design);
  const Vec3 centre = find_centre_of_mass(design);
  const int copies = static_cast<int>(corners.size());
  points = std::min(points, copies);
  // The highest corner of every copy: where it would be tied, as drawn.
  std::vector<Vec3> top;
  double highest = -1e300, lowest = 1e300;
  for (const auto& list : corners) {
    top.push_back(*std::max_element(list.begin(), list.end(),
                                    [](const Vec3& a, const Vec3& b) { return a.z() < b.z(); }));
    for (const Vec3& p : list) highest = std::max(highest, p.z()), lowest = std::min(lowest, p.z());
  }
  std::vector<int> order;
  for (int copy = 0; copy < copies; ++copy) order.push_back(copy);
  std::stable_sort(order.begin(), order.end(),
                   [&](int a, int b) { return top[at(a)].z() > top[at(b)].z() + 1e-6; });

  Hanging best;
  std::vector<std::vector<int>> tried;
  for (int first = 0; first < copies && tried.size() < 6; ++first) {
    const Vec3& start = top[at(order[at(first)])];
    if (start.z() < (highest + lowest) / 2) break;
    const double azimuth = std::atan2(start.y() - centre.y(), start.x() - centre.x());
    std::vector<int> set{order[at(first)]};
    for (int k = 1; k < points; ++k) {
      // As near as can be to the first point turned about the vertical.
      const double a = azimuth + 2 * pi * k / points, r = (start - centre).head<2>().norm();
      const Vec3 wanted(centre.x() + r * std::cos(a), centre.y() + r * std::sin(a), start.z());
      int nearest = -1;
      for (int copy = 0; copy < copies; ++copy) {
        if (std::find(set.begin(), set.end(), copy) != set.end()) continue;
        if (nearest < 0 ||
            (top[at(copy)] - wanted).norm() < (top[at(nearest)] - wanted).norm() - 1e-6)
          nearest = copy;
      }
      set.push_back(nearest);
    }
    std::vector<int> sorted = set;
    std::sort(sorted.begin(), sorted.end());
    if (std::find(tried.begin(), tried.end(), sorted) != tried.end()) continue;
    tried.push_back(sorted);
    try {
      LoadCase load_case = make_load_case(design, Hold::hung, sorted);
      load_case.mass_kg_per_m2 = design.limits.mass_kg_per_m2;
      load_case.glue = glue;
      Hanging hanging;
      hanging.copies = sorted;
      hanging.load = measure_load(design, load_case);
      if (!hanging.load.fault.empty()) continue;
      bool pushed = false;  // a string can not push
      for (const double reaction : hanging.load.reactions_n) {
        pushed = pushed || reaction < 0;
        hanging.most_per_point_n = std::max(hanging.most_per_point_n, reaction);
      }
      if (pushed) continue;
      hanging.tilt_deg = to_degrees(std::acos(std::clamp(load_case.up.z(), -1.0, 1.0)));
      // Upright first, then strong.
      const auto askew = [](const Hanging& one) { return one.tilt_deg < 10 ? 0 : one.tilt_deg; };
      if (best.copies.empty() || askew(hanging) < askew(best) - 1e-6 ||
          (askew(hanging) < askew(best) + 1e-6 &&
           hanging.load.reserve > best.load.reserve * (1 + 1e-6)))
        best = hanging;
    } catch (const std::invalid_argument&) {
      // This set has no up: the next one.
    }
  }
  return best;
}

}  // namespace sixtyfold
