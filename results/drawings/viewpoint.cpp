#include "results/drawings/viewpoint.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

#include "engine/building/copy_elements.h"
#include "engine/symmetry/point_group.h"

namespace sixtyfold {

namespace {

constexpr double usual_azimuth_deg = -76;
constexpr double best_elevation_deg = 14;  // of an axis looked along
constexpr double steepest_axis_deg = 62;   // beyond, an axis points up
constexpr double axial_elevation_deg = 40;
constexpr double aside_deg = 8, above_deg = 6.5;  // together about 10 degrees off

Vec3 make_direction(double azimuth_deg, double elevation_deg) {
  const double a = to_radians(azimuth_deg), e = to_radians(elevation_deg);
  return {std::cos(e) * std::cos(a), std::cos(e) * std::sin(a), std::sin(e)};
}

double find_elevation_deg(const Vec3& v) {
  return to_degrees(std::asin(std::clamp(v.z(), -1.0, 1.0)));
}
double find_azimuth_deg(const Vec3& v) { return to_degrees(std::atan2(v.y(), v.x())); }

/// Degrees between two azimuths, 0 to 180.
double compare_azimuths(double a, double b) { return std::abs(std::remainder(a - b, 360.0)); }

/// Both ends of every rotation axis, with the order of its rotations.
std::vector<Axis> find_axis_ends(const PointGroup& group) {
  std::vector<Axis> ends;
  for (int g = 1; g < group.order(); ++g) {
    const Mat3& m = group.elements[static_cast<std::size_t>(g)];
    if (m.determinant() < 0) continue;
    // Any vector goes to the axis when all turns about it are added up.
    const int order = find_element_order(group, g);
    Mat3 sum = Mat3::Identity(), power = m;
    for (int i = 1; i < order; ++i, power = power * m) sum += power;
    int widest = 0;
    sum.colwise().norm().maxCoeff(&widest);
    const Vec3 direction = sum.col(widest).normalized();
    for (const Vec3& end : {direction, Vec3(-direction)}) {
      const auto known = std::find_if(ends.begin(), ends.end(), [&](const Axis& axis) {
        return (axis.direction - end).norm() < 1e-6;
      });
      if (known == ends.end())
        ends.push_back({end, order});
      else
        known->order = std::max(known->order, order);
    }
  }
  return ends;
}

std::string name_axis(int order) {
  static const char* const names[] = {"",         "",         "twofold", "threefold",
                                      "fourfold", "fivefold", "sixfold"};
  return (order <= 6 ? std::string(names[order]) : std::to_string(order) + "-fold") + " axis";
}

/// A few degrees beside an axis and above it, or below where it is steep.
Viewpoint look_along(const Axis& axis) {
  const double elevation = find_elevation_deg(axis.direction);
  const double tilt = elevation > 20 ? -above_deg : above_deg;
  const double aside = aside_deg / std::max(0.3, std::cos(to_radians(elevation)));
  return {make_direction(find_azimuth_deg(axis.direction) + aside, elevation + tilt),
          axis.direction, axis.order, name_axis(axis.order)};
}

/// The end that is seen best among those of an order; null when all point up or down.
const Axis* find_best_end(const std::vector<Axis>& ends, int order) {
  const Axis* best = nullptr;
  double least = 0;
  for (const Axis& end : ends) {
    const double elevation = find_elevation_deg(end.direction);
    if (end.order != order || elevation < -1 || elevation > steepest_axis_deg) continue;
    const double cost = std::abs(elevation - best_elevation_deg) +
                        0.05 * compare_azimuths(find_azimuth_deg(end.direction), usual_azimuth_deg);
    if (best && !(cost < least - 1e-6)) continue;
    best = &end;
    least = cost;
  }
  return best;
}

std::vector<Viewpoint> look_at_polyhedral(const std::vector<Axis>& ends) {
  std::vector<int> orders;
  for (const Axis& end : ends) orders.push_back(end.order);
  std::sort(orders.begin(), orders.end(), std::greater<>());
  orders.erase(std::unique(orders.begin(), orders.end()), orders.end());
  std::vector<Viewpoint> views;
  for (const int order : orders)
    if (const Axis* end = find_best_end(ends, order)) views.push_back(look_along(*end));
  return views;
}

std::vector<Viewpoint> look_at_axial(const std::vector<Axis>& ends) {
  const Axis* across = nullptr;  // a twofold axis square to the principal one
  for (const Axis& end : ends)
    if (std::abs(end.direction.z()) < 1e-6 &&
        (!across ||
         compare_azimuths(find_azimuth_deg(end.direction), usual_azimuth_deg) <
             compare_azimuths(find_azimuth_deg(across->direction), usual_azimuth_deg) - 1e-6))
      across = &end;
  int order = 1;
  for (const Axis& end : ends)
    if (end.direction.z() > 0.999) order = end.order;
  const double azimuth =
      across ? find_azimuth_deg(across->direction) + aside_deg : usual_azimuth_deg;
  std::vector<Viewpoint> views{
      {make_direction(azimuth, axial_elevation_deg), Vec3::UnitZ(), order, "from half above"}};
  views.push_back({make_direction(azimuth, above_deg),
                   across ? across->direction : make_direction(azimuth, 0),
                   across ? across->order : 1, "from the side"});
  views.push_back({make_direction(azimuth, 90 - above_deg), Vec3::UnitZ(), order, "from above"});
  return views;
}

/// The group of the design's symbol, where the copies are its images.
std::optional<PointGroup> find_own_group(const Design& design) {
  if (!is_point_group(design.symmetry)) return std::nullopt;
  PointGroup group = make_point_group(design.symmetry);
  if (find_copy_elements(design, group).empty()) return std::nullopt;
  return group;
}

}  // namespace

std::vector<Vec3> find_axis_directions(const Design& design) {
  std::vector<Vec3> directions;
  if (const auto group = find_own_group(design))
    for (const Axis& end : find_axis_ends(*group)) directions.push_back(end.direction);
  return directions;
}

std::vector<Viewpoint> find_viewpoints(const Design& design) {
  const auto group = find_own_group(design);
  if (!group) {
    const Vec3 first = make_direction(usual_azimuth_deg, 16);
    const Vec3 second = make_direction(usual_azimuth_deg + 90, 16);
    return {{first, first, 1, "first side"}, {second, second, 1, "second side"}};
  }
  const char kind = design.symmetry.front();
  const std::vector<Axis> ends = find_axis_ends(*group);
  return kind == 'I' || kind == 'O' || kind == 'T' ? look_at_polyhedral(ends) : look_at_axial(ends);
}

}  // namespace sixtyfold
