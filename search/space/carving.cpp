#include "search/space/carving.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace sixtyfold {

const OutlineFamily& carved_family() {
  static const OutlineFamily family = [] {
    OutlineFamily carved;
    carved.name = "carved";
    carved.description = "cut out of one body with round tunnels and hollows that all panels share";
    carved.parameters = {
        {"body", 0, 4},          {"body_axis", 0, 1},       {"body_at", 0.35, 0.8},
        {"hollow_1_axis", 0, 1}, {"hollow_1_at", 0.3, 1.3}, {"hollow_1_radius", 0.12, 0.7},
        {"hollow_2_axis", 0, 1}, {"hollow_2_at", 0.3, 1.3}, {"hollow_2_radius", -0.3, 0.6},
        {"core", -0.5, 0.85}};
    carved.most_fold = 60;
    return carved;
  }();
  return family;
}

const OutlineFamily& celled_family() {
  static const OutlineFamily family = [] {
    OutlineFamily celled = find_outline_family("radial");
    celled.name = "cells";
    celled.description = "whole cells between the planes of the other copies";
    celled.trace = nullptr;
    return celled;
  }();
  return family;
}

std::vector<std::string> find_family_names() {
  std::vector<std::string> names;
  for (const OutlineFamily& family : outline_families()) names.push_back(family.name);
  names.push_back(carved_family().name);
  names.push_back(celled_family().name);
  return names;
}

const OutlineFamily& find_any_family(const std::string& name) {
  if (name == carved_family().name) return carved_family();
  if (name == celled_family().name) return celled_family();
  std::string names;
  for (const std::string& known : find_family_names()) {
    if (known == name) return find_outline_family(name);
    names += (names.empty() ? "" : ", ") + known;
  }
  throw std::invalid_argument("no outline family is called '" + name + "'; the families are " +
                              names);
}

AxisOrbits find_axis_orbits(const PointGroup& group) {
  std::vector<Vec3> directions;
  for (const Axis& axis : find_axes(group)) directions.push_back(axis.direction);
  if (directions.empty()) directions = {Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()};
  AxisOrbits orbits;
  for (const Vec3& direction : directions) {
    std::vector<Vec3>& orbit = orbits.emplace_back();
    for (const Mat3& g : group.elements) {
      const Vec3 image = g * direction;
      if (std::none_of(orbit.begin(), orbit.end(),
                       [&](const Vec3& known) { return (known - image).norm() < 1e-6; }))
        orbit.push_back(image);
    }
  }
  return orbits;
}

void make_body(const AxisOrbits& axes, std::span<const double> values, double radius, Body& body) {
  body.solids.clear();
  body.hollows.clear();
  body.facets.clear();
  const auto choose = [&](double share) -> const std::vector<Vec3>& {
    const auto number = static_cast<std::size_t>(share * static_cast<double>(axes.size()));
    return axes[std::min(number, axes.size() - 1)];
  };
  if (values[0] < 1.6) {
    body.solids.push_back({Vec3::Zero(), radius});
  } else if (values[0] < 2.3) {
    for (const Vec3& axis : choose(values[1]))
      body.solids.push_back({values[2] * radius * axis, (1 - values[2]) * radius});
  } else if (values[0] >= 3) {
    // Ellipsoids on an axis, from cigars to lenses, as far as the enclosing ball has room.
    const double out = values[2] * radius, along = radius - out,
                 wide = std::min((0.4 + 1.4 * (values[0] - 3)) * along,
                                 0.95 * std::sqrt(radius * radius - out * out));
    for (const Vec3& axis : choose(values[1]))
      body.solids.push_back({out * axis, wide, along / wide, axis});
  } else {
    // With the ball about it: few directions alone may leave it unbounded.
    body.solids.push_back({Vec3::Zero(), radius});
    for (const Vec3& axis : choose(values[1])) body.facets.push_back({axis, values[2] * radius});
  }
  for (const std::size_t first : {std::size_t{3}, std::size_t{6}})
    if (const double size = values[first + 2]; size >= 0.12)
      for (const Vec3& axis : choose(values[first]))
        body.hollows.push_back({values[first + 1] * radius * axis, size * radius});
  if (values[9] >= 0.15) body.hollows.push_back({Vec3::Zero(), values[9] * radius});
}

}  // namespace sixtyfold
