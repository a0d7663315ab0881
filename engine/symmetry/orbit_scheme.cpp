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

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Fills a scheme in the order in which its parts need each other.
class SchemeMaker {
 public:
  SchemeMaker(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
              bool through_centre)
      : tables_(tables), group_(tables->group), normal_(normal) {
    scheme_.group = {tables, &group_};
    scheme_.through_centre = through_centre;
  }

  /// `keeps_panel` is asked of elements that keep the plane.
  template <class Keeps>
  void find_stabilisers(const Keeps& keeps_panel) {
    for (int e = 0; e < group_.order(); ++e) {
      const Vec3 image = image_of_normal(e);
      if (!is_close(image, normal_) && !(scheme_.through_centre && is_close(image, -normal_)))
        continue;
      scheme_.plane_stabiliser.push_back(e);
      if (e == 0 || keeps_panel(group_.elements[index(e)])) scheme_.outline_stabiliser.push_back(e);
    }
  }
  void find_own_symmetries();
  void number_copies();
  void number_lines();
  void find_coplanar();
  void find_pairs();
  void add_tables();
  OrbitScheme take() { return std::move(scheme_); }

 private:
  Vec3 image_of_normal(int e) const { return group_.elements[index(e)] * normal_; }
  /// In the plane itself.
  bool act_alike(int a, int b) const {
    const Mat3 apart = group_.elements[index(a)] - group_.elements[index(b)];
    return (apart - apart * normal_ * normal_.transpose()).norm() < same_direction;
  }
  bool meet_alike(int a, int b, bool lies_in_mirror) const;
  int mark_double_coset(int e, std::vector<char>& done) const;

  const std::shared_ptr<const GroupTables>& tables_;
  const PointGroup& group_;
  const Vec3 normal_;
  OrbitScheme scheme_;
};

/// Turns first.
void SchemeMaker::find_own_symmetries() {
  for (const bool mirrors : {false, true})
    for (const int h : scheme_.outline_stabiliser) {
      const Mat3& matrix = group_.elements[index(h)];
      if ((matrix.determinant() * normal_.dot(matrix * normal_) < 0) != mirrors) continue;
      if (std::none_of(scheme_.own_symmetries.begin(), scheme_.own_symmetries.end(),
                       [&](const OwnSymmetry& known) { return act_alike(known.element, h); }))
        scheme_.own_symmetries.push_back({h, mirrors});
    }
}

/// Left cosets of H, numbered by least element.
void SchemeMaker::number_copies() {
  scheme_.copy_of.assign(index(group_.order()), -1);
  for (int e = 0; e < group_.order(); ++e) {
    if (scheme_.copy_of[index(e)] >= 0) continue;
    for (const int h : scheme_.outline_stabiliser)
      scheme_.copy_of[index(group_.multiply(e, h))] = scheme_.panels();
    scheme_.copies.push_back(e);
  }
}

bool SchemeMaker::meet_alike(int a, int b, bool lies_in_mirror) const {
  const Vec3 first = image_of_normal(a), second = image_of_normal(b);
  if (is_close(first, second) || (scheme_.through_centre && is_close(first, -second))) return true;
  const Vec3 line = normal_.cross(first), other = normal_.cross(second);
  return lies_in_mirror && std::min(line.norm(), other.norm()) > same_direction &&
         line.normalized().cross(other.normalized()).norm() < same_direction;
}

/// Left cosets of S are the planes (those that meet P's plane in one line together), numbered by
/// least element.
void SchemeMaker::number_lines() {
  // In a mirror plane of the group, where the normal is not free to turn, many planes meet in one
  // line.
  const bool lies_in_mirror =
      std::any_of(scheme_.outline_stabiliser.begin(), scheme_.outline_stabiliser.end(),
                  [&](int h) { return h != 0 && act_alike(h, 0); });
  scheme_.line_of.assign(index(group_.order()), -1);
  int planes = 0;
  for (int e = 0; e < group_.order(); ++e) {
    if (scheme_.line_of[index(e)] >= 0) continue;
    for (int other = 0; other < group_.order(); ++other)
      if (meet_alike(e, other, lies_in_mirror)) scheme_.line_of[index(other)] = planes;
    ++planes;
  }
}

void SchemeMaker::find_coplanar() {
  for (int copy = 1; copy < scheme_.panels(); ++copy)
    if (scheme_.line_of[index(scheme_.copies[index(copy)])] == 0)
      scheme_.coplanar.push_back(scheme_.copies[index(copy)]);
}

/// Members of H e H; how many of them are new.
int SchemeMaker::mark_double_coset(int e, std::vector<char>& done) const {
  int members = 0;
  for (const int h : scheme_.outline_stabiliser)
    for (const int k : scheme_.outline_stabiliser) {
      const int member = group_.multiply(h, group_.multiply(e, k));
      if (!done[index(member)]) ++members;
      done[index(member)] = 1;
    }
  return members;
}

/// Double cosets H g H together with H g^-1 H are the classes of pairs.
void SchemeMaker::find_pairs() {
  std::vector<char> done(index(group_.order()), 0);
  for (int e = 0; e < group_.order(); ++e) {
    if (done[index(e)]) continue;
    const int members = mark_double_coset(e, done), inverse = group_.invert(e);
    const bool self_paired = done[index(inverse)] != 0;
    if (!self_paired) mark_double_coset(inverse, done);
    // The panel itself; coplanar copies have no meeting line.
    if (scheme_.copy_of[index(e)] == 0 || scheme_.line_of[index(e)] == 0) continue;
    // Each of the N copies sees |HgH| / |H| copies of the class.
    const int ordered =
        scheme_.panels() * (members / static_cast<int>(scheme_.outline_stabiliser.size()));
    scheme_.pairs.push_back({e, inverse, self_paired, self_paired ? ordered / 2 : ordered,
                             group_.elements[index(e)].determinant() > 0});
  }
}

void SchemeMaker::add_tables() {
  scheme_.blocks = std::make_shared<const SymmetryBlocks>(
      make_symmetry_blocks(group_, scheme_.outline_stabiliser, tables_->irreps));
  scheme_.rays = {tables_, &tables_->rays};
  scheme_.subgroups = {tables_, &tables_->subgroups};
  for (const int h : scheme_.outline_stabiliser)
    scheme_.outline_subgroup = scheme_.subgroups->add(scheme_.outline_subgroup, h);
}

template <class Keeps>
OrbitScheme make_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                        bool through_centre, const Keeps& keeps_panel) {
  assert(tables && std::abs(normal.norm() - 1) < 1e-9);
  SchemeMaker maker(tables, normal, through_centre);
  maker.find_stabilisers(keeps_panel);
  maker.find_own_symmetries();
  maker.number_copies();
  maker.number_lines();
  maker.find_coplanar();
  maker.find_pairs();
  maker.add_tables();
  return maker.take();
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
