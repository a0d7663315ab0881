#include "engine/symmetry/orbit_scheme.h"

#include <algorithm>
#include <cassert>

namespace sixtyfold {

namespace {

constexpr double same_direction = 1e-6;

bool is_close(const Vec3& a, const Vec3& b) { return (a - b).norm() < same_direction; }

}  // namespace

GroupTables make_group_tables(PointGroup group) {
  GroupTables tables{std::move(group), {}, {}, {}};
  tables.irreps = make_irreps(tables.group);
  tables.rays = make_ray_images(tables.group.elements,
                                make_sight_rays(std::clamp(3840 / tables.group.order(), 96, 512)));
  tables.subgroups = SubgroupSteps(tables.group);
  return tables;
}

OrbitScheme make_orbit_scheme(const std::shared_ptr<const PointGroup>& group, const Vec3& normal,
                              bool through_centre, OnAxis on_axis) {
  return make_orbit_scheme(std::make_shared<const GroupTables>(make_group_tables(*group)), normal,
                           through_centre, on_axis);
}

namespace {

/// `keeps_panel` is asked of elements that keep the plane.
template <class Keeps>
OrbitScheme make_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                        bool through_centre, const Keeps& keeps_panel) {
  assert(tables && std::abs(normal.norm() - 1) < 1e-9);
  const PointGroup& g = tables->group;
  const int order = g.order();
  const auto index = [](int i) { return static_cast<std::size_t>(i); };
  OrbitScheme scheme;
  scheme.group = {tables, &g};
  scheme.through_centre = through_centre;
  for (int e = 0; e < order; ++e) {
    const Vec3 image = g.elements[index(e)] * normal;
    const bool keeps_normal = is_close(image, normal);
    if (!keeps_normal && !(through_centre && is_close(image, -normal))) continue;
    scheme.plane_stabiliser.push_back(e);
    if (e != 0 && !keeps_panel(g.elements[index(e)])) continue;
    scheme.outline_stabiliser.push_back(e);
  }
  // Turns first.
  const auto acts_alike = [&](int a, int b) {
    const Mat3 apart = g.elements[index(a)] - g.elements[index(b)];
    return (apart - apart * normal * normal.transpose()).norm() < same_direction;
  };
  for (const bool mirrors : {false, true})
    for (const int h : scheme.outline_stabiliser) {
      const Mat3& matrix = g.elements[index(h)];
      if ((matrix.determinant() * normal.dot(matrix * normal) < 0) != mirrors) continue;
      if (std::none_of(scheme.own_symmetries.begin(), scheme.own_symmetries.end(),
                       [&](const OwnSymmetry& known) { return acts_alike(known.element, h); }))
        scheme.own_symmetries.push_back({h, mirrors});
    }

  // In a mirror plane of the group, where the normal is not free to turn, many planes meet in one
  // line.
  const bool lies_in_mirror =
      std::any_of(scheme.outline_stabiliser.begin(), scheme.outline_stabiliser.end(),
                  [&](int h) { return h != 0 && acts_alike(h, 0); });
  const auto meets_alike = [&](int a, int b) {
    const Vec3 first = g.elements[index(a)] * normal, second = g.elements[index(b)] * normal;
    if (is_close(first, second) || (through_centre && is_close(first, -second))) return true;
    const Vec3 line = normal.cross(first), other = normal.cross(second);
    return lies_in_mirror && std::min(line.norm(), other.norm()) > same_direction &&
           line.normalized().cross(other.normalized()).norm() < same_direction;
  };
  // Left cosets of H are the copies, left cosets of S the planes (those that meet
  // P's plane in one line together); both numbered by least element.
  scheme.copy_of.assign(index(order), -1);
  scheme.line_of.assign(index(order), -1);
  int planes = 0;
  for (int e = 0; e < order; ++e) {
    if (scheme.copy_of[index(e)] < 0) {
      for (const int h : scheme.outline_stabiliser)
        scheme.copy_of[index(g.multiply(e, h))] = scheme.panels();
      scheme.copies.push_back(e);
    }
    if (scheme.line_of[index(e)] < 0) {
      for (int other = 0; other < order; ++other)
        if (meets_alike(e, other)) scheme.line_of[index(other)] = planes;
      ++planes;
    }
  }

  for (int copy = 1; copy < scheme.panels(); ++copy)
    if (scheme.line_of[index(scheme.copies[index(copy)])] == 0)
      scheme.coplanar.push_back(scheme.copies[index(copy)]);

  // Double cosets H g H together with H g^-1 H are the classes of pairs.
  std::vector<char> done(index(order), 0);
  for (int e = 0; e < order; ++e) {
    if (done[index(e)]) continue;
    bool self_paired = false;
    int members = 0;  // |HgH|
    for (const int h : scheme.outline_stabiliser)
      for (const int k : scheme.outline_stabiliser) {
        const int member = g.multiply(h, g.multiply(e, k));
        if (!done[index(member)]) ++members;
        done[index(member)] = 1;
        if (member == g.invert(e)) self_paired = true;
      }
    if (!self_paired)
      for (const int h : scheme.outline_stabiliser)
        for (const int k : scheme.outline_stabiliser)
          done[index(g.multiply(h, g.multiply(g.invert(e), k)))] = 1;
    if (scheme.copy_of[index(e)] == 0) continue;
    if (scheme.line_of[index(e)] == 0) {
      continue;  // coplanar copies have no meeting line
    }
    // Each of the N copies sees |HgH| / |H| copies of the class.
    const int ordered =
        scheme.panels() * (members / static_cast<int>(scheme.outline_stabiliser.size()));
    scheme.pairs.push_back({e, g.invert(e), self_paired, self_paired ? ordered / 2 : ordered,
                            g.elements[index(e)].determinant() > 0});
  }
  scheme.blocks = std::make_shared<const SymmetryBlocks>(
      make_symmetry_blocks(g, scheme.outline_stabiliser, tables->irreps));
  scheme.rays = {tables, &tables->rays};
  scheme.subgroups = {tables, &tables->subgroups};
  for (const int h : scheme.outline_stabiliser)
    scheme.outline_subgroup = scheme.subgroups->add(scheme.outline_subgroup, h);
  return scheme;
}

}  // namespace

OrbitScheme make_orbit_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                              bool through_centre, OnAxis on_axis) {
  return make_scheme(tables, normal, through_centre, [&](const Mat3& g) {
    const bool keeps_normal = is_close(g * normal, normal);
    if (on_axis == OnAxis::symmetric_outline && keeps_normal) return true;
    // A mirror plane that holds the panel does nothing to it.
    return (g - Mat3::Identity() + 2 * normal * normal.transpose()).norm() < same_direction;
  });
}

OrbitScheme make_orbit_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                              bool through_centre, const Vec3& hub) {
  return make_scheme(tables, normal, through_centre,
                     [&](const Mat3& g) { return (g * hub - hub).norm() < same_direction; });
}

int OrbitScheme::count_images(int element) const {
  const auto line = [&](int g) { return line_of[static_cast<std::size_t>(g)]; };
  int same = 0;
  for (const OwnSymmetry& own : own_symmetries)
    same += line(group->multiply(own.element, element)) == line(element);
  return static_cast<int>(own_symmetries.size()) / same;
}

}  // namespace sixtyfold
