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
  tables.rays = make_ray_images(tables.group.elements, make_spiral_rays(128));
  tables.subgroups = SubgroupSteps(tables.group);
  return tables;
}

OrbitScheme make_orbit_scheme(const std::shared_ptr<const PointGroup>& group, const Vec3& normal,
                              bool through_centre, OnAxis on_axis) {
  return make_orbit_scheme(std::make_shared<const GroupTables>(make_group_tables(*group)), normal,
                           through_centre, on_axis);
}

OrbitScheme make_orbit_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                              bool through_centre, OnAxis on_axis) {
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
    if (keeps_normal || (through_centre && is_close(image, -normal)))
      scheme.plane_stabiliser.push_back(e);
    if (e == 0 || (on_axis == OnAxis::symmetric_outline && keeps_normal &&
                   g.elements[index(e)].determinant() > 0))
      scheme.outline_stabiliser.push_back(e);
  }

  // Left cosets of H are the copies, left cosets of S the planes; both numbered by least element.
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
      for (const int s : scheme.plane_stabiliser) scheme.line_of[index(g.multiply(e, s))] = planes;
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
    const int ordered = scheme.panels() * (members / scheme.outline_fold());
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

}  // namespace sixtyfold
