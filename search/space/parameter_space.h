#pragma once
// The parameter space: discrete branches, each with its own box of named numbers.

#include <array>
#include <span>
#include <string>
#include <vector>

#include "engine/shape/outline_family.h"
#include "engine/variant/variant.h"
#include "search/space/carving.h"
#include "search/space/outcome.h"

namespace sixtyfold {

/// How the panel's plane lies to the group.
///   generic      anywhere;
///   on_axis      normal on an axis of order k, outline k-fold about it: |G|/k copies;
///   in_sector    normal on an axis of order k, k panels share the plane, each in its own sector;
///   centre       through the centre;
///   square       perpendicular to its images about an axis of order k: n . R^j n = 0;
///   mirror       normal in a mirror plane of the group, outline mirror-symmetric about it;
///   across       through the centre and a twofold axis, outline mirror-symmetric about the axis;
///   upright      along the main axis of a group that turns it over: all crossings run along it,
///   and
///                those of panels that are turned over interlock like the dividers of a crate.
enum class PlaneKind { generic, on_axis, in_sector, centre, square, mirror, across, upright };

/// One bounded number. Angles are degrees, all others without unit.
struct SearchParameter {
  std::string name;
  double low = 0, high = 1;
  bool logarithmic = false;  ///< equal steps of the unit coordinate are equal ratios
};

/// One branch: group, kind of plane and outline family are chosen, the rest are parameters.
/// The hub of the outline lies at distance 1 from the centre; `size` is the outline's radius, of
/// the family carved that of the body's section by a plane at distance 1.
struct Branch {
  std::string symmetry, plane, family;  ///< names as in Recipe
  bool has_windows = false;  ///< "-windows" behind the family's name: the last parameter is `frame`
  PlaneKind kind = PlaneKind::generic;
  TrimStyle trim = TrimStyle::lean;
  Axis axis{Vec3::UnitZ(), 1};   ///< on_axis, in_sector, square, across
  Vec3 mirror = Vec3::UnitZ();   ///< mirror, upright: normal of the mirror plane
  bool is_mirrored = false;      ///< mirror, across, upright among mirror planes: so is the outline
  double cone_rad = 0;           ///< square: angle between normal and axis
  std::array<Vec3, 3> domain{};  ///< generic, centre: corners of a spherical triangle of normals
  bool is_lune = false;          ///< then domain[0] is the axis and azimuths run over one sector
  double sector_rad = 0;
  OrbitScheme scheme;
  const OutlineFamily* outline = nullptr;
  AxisOrbits axes;  ///< family carved
  std::vector<SearchParameter> parameters;

  int dimension() const { return static_cast<int>(parameters.size()); }
};

/// "generic", "centre", and for each class of axes "axis-k", "sector-k" and "square-k" where there
/// is one; a second class of the same order has a letter: "axis-3b". For each class of mirror
/// planes "mirror", "mirror-b"; for each class of twofold axes that no
/// mirror plane holds "across-2". "upright" at the end, where there is a main axis that the group
/// turns over: Dn and S2n, and Dnd, whose mirror planes the panels then stand across, mirror-true.
/// Mirror images end at the same places of their crossing and are never halved into each other, so
/// slots along the axis join nothing past a mirror plane: none in Cnh and Dnh. All but square and
/// upright planes are there a second time with "-meet" behind their name: of two copies that cross
/// both are cut back and meet edge to edge (TrimStyle::meet).
std::vector<std::string> find_plane_names(const PointGroup& group);

/// Throws std::invalid_argument: the word that is not known and what is allowed.
Branch make_branch(const std::string& symmetry, const std::string& plane,
                   const std::string& family);

/// Whether windows are cut into the panels (engine/variant/windows.h).
enum class Windows { off, on, both };

struct BranchChoice {
  std::vector<std::string> symmetries, planes, families;  ///< empty planes, families: all there are
  Windows windows = Windows::off;  ///< of families named without "-windows" behind their name
};

/// All branches of a choice whose number of panels is within the limits. Plane kinds that a group
/// does not have are passed over, and those where both ways of trimming are the same. Where no
/// family is named, cells are not looked at: they take seven times as long to draw, and a fresh eye
/// gave 17 % of them 7 marks of 10 or more where it gave the others 43 %. Where no kind is named,
/// panels joined by tabs alone are not looked for upright, and those joined by slots alone only so,
/// unless the board may be sprung in: straight slots slide along one direction, so that whole
/// orbits of joints go together only along a main axis, and in T, O and I none do. Throws
/// std::invalid_argument for unknown words.
std::vector<Branch> find_branches(const BranchChoice& choice, const Limits& limits);

/// Values of the named parameters, in their units.
std::vector<double> to_values(const Branch& branch, const UnitPoint& point);
/// The inverse, clipped to the box.
UnitPoint to_unit_point(const Branch& branch, std::span<const double> values);
/// Empty when the values fit the branch, else one sentence with the parameter and what is allowed.
std::string find_fault(const Branch& branch, std::span<const double> values);

/// Where a panel lies: the plane's normal and the hub, a point of it at distance 1 from the centre.
struct Placing {
  Vec3 normal = Vec3::UnitZ(), hub = Vec3::UnitZ();
};
/// As the branch draws it.
Placing make_placing(const Branch& branch, const UnitPoint& point);
/// The group's elements and point reflection through the centre make others of it that give the
/// same construction or its mirror image; this chooses the same one for all of them, but next to
/// where its choice jumps.
Placing find_placing(const Branch& branch, const UnitPoint& point);

/// Draws the panel of these values. The values must have no fault.
/// Without an outline where the family carved leaves nothing of the plane at the hub, or a piece
/// with holes, and where cells make none (engine/contact/cells.h).
void make_draft(const Branch& branch, std::span<const double> values, Draft& draft);

/// The body that a panel of the family carved is cut out of.
Body make_body(const Branch& branch, std::span<const double> values);

}  // namespace sixtyfold
