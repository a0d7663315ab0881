#pragma once
// What a group does to one panel, as far as it can be said without the panel's shape: which copies
// there are, which share a plane, and which pairs of copies need looking at.
//
// Made once for a kind of plane (generic, on an axis, through the centre) and shared by every
// variant of that kind.

#include <memory>
#include <vector>

#include "engine/symmetry/ray_images.h"
#include "engine/symmetry/subgroup_steps.h"
#include "engine/symmetry/symmetry_blocks.h"

namespace sixtyfold {

/// Unordered pairs {aP, agP} that the group carries into each other.
struct PairClass {
  int element;       ///< g: the copy gP that P is tested against
  int inverse;       ///< g^-1, whose meeting line is the other one of the pair
  bool self_paired;  ///< some element swaps the two copies
  int pairs;         ///< number of unordered pairs of copies in the class
  bool proper;       ///< g is a rotation
};

/// Whether a panel on an axis takes over the axis's symmetry, mirror planes and all, or stays
/// inside its own sector.
enum class OnAxis { own_sector, symmetric_outline };

/// An element that keeps the panel, as it moves the outline in its plane: a turn about the foot of
/// the plane, or a mirror at a line through it.
struct OwnSymmetry {
  int element = 0;
  bool mirrors = false;  ///< positions along meeting lines then run the other way
};

/// What is made once for a group and shared by its schemes.
struct GroupTables {
  PointGroup group;
  std::vector<Irrep> irreps;
  RayImages rays;  ///< 96 of them, more in small groups
  SubgroupSteps subgroups;
};
GroupTables make_group_tables(PointGroup group);

struct OrbitScheme {
  std::shared_ptr<const PointGroup> group;
  bool through_centre = false;          ///< the plane has distance 0
  std::vector<int> plane_stabiliser;    ///< S: elements that keep the plane
  std::vector<int> outline_stabiliser;  ///< H: elements that keep the panel
  /// H as it acts in the plane, each action once, the identity first: a mirror plane that holds the
  /// panel does nothing to it.
  std::vector<OwnSymmetry> own_symmetries;
  std::vector<int> copies;   ///< one element of each left coset of H; copies[0] = 0
  std::vector<int> copy_of;  ///< element -> number in `copies`
  /// element g -> number of the line in which the plane that g carries P's plane to meets P's
  /// plane; 0: none, as it is P's own. Planes that a mirror plane holding P changes meet it in one
  /// line.
  std::vector<int> line_of;
  std::vector<PairClass> pairs;                  ///< of copies in other planes
  std::vector<int> coplanar;                     ///< elements of S not in H, one a copy
  std::shared_ptr<const SymmetryBlocks> blocks;  ///< for the stiffness; the stabiliser is H
  std::shared_ptr<const RayImages> rays;         ///< for the openness
  std::shared_ptr<const SubgroupSteps> subgroups;
  int outline_subgroup = 0;  ///< number of H among them

  int panels() const { return static_cast<int>(copies.size()); }
  /// Pieces that joints leave whose elements grew H to this subgroup.
  int count_pieces(int subgroup) const { return group->order() / subgroups->order_of(subgroup); }
  /// Order of the rotations about the normal among the outline's own symmetries.
  int outline_fold() const {
    return static_cast<int>(own_symmetries.size()) / (has_mirror() ? 2 : 1);
  }
  bool has_mirror() const { return own_symmetries.back().mirrors; }
  /// How many lines like the one of this element the outline's own symmetries make.
  int count_images(int element) const;
};

/// Scheme of the plane with the given unit normal. Directions within 1e-6 count as equal.
OrbitScheme make_orbit_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                              bool through_centre, OnAxis on_axis);
OrbitScheme make_orbit_scheme(const std::shared_ptr<const PointGroup>& group, const Vec3& normal,
                              bool through_centre, OnAxis on_axis);
/// The same with the elements that keep the panel told by a point that it keeps and no other copy
/// holds: those of S that keep `hub`, a point or direction in space.
OrbitScheme make_orbit_scheme(const std::shared_ptr<const GroupTables>& tables, const Vec3& normal,
                              bool through_centre, const Vec3& hub);

}  // namespace sixtyfold
