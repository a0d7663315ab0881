#include "search/space/parameter_space.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>

#include "engine/shape/frame.h"

namespace sixtyfold {

namespace {

struct NamedAxis {
  std::string suffix;  ///< "5", "3b"
  Axis axis;
};

/// One end of each class of axes: point reflection through the centre carries a design on one end
/// to its mirror image on the other.
std::vector<NamedAxis> find_named_axes(const PointGroup& group) {
  std::vector<NamedAxis> named;
  for (const Axis& axis : find_axes(group)) {
    const auto is_other_end = [&](const NamedAxis& other) {
      return std::any_of(group.elements.begin(), group.elements.end(), [&](const Mat3& g) {
        return (g * other.axis.direction + axis.direction).norm() < 1e-6;
      });
    };
    if (std::any_of(named.begin(), named.end(), is_other_end)) continue;
    int same_order = 0;
    for (const NamedAxis& other : named) same_order += other.axis.order == axis.order;
    std::string suffix = std::to_string(axis.order);
    if (same_order > 0) suffix += static_cast<char>('a' + same_order);
    named.push_back({suffix, axis});
  }
  return named;
}

/// Cosine squared of the cone's half-angle on which n . R n = 0 for the turn R about the axis that
/// is nearest to half a turn; below 0 when there is none. n . R n = c^2 + (1 - c^2) cos(turn).
double find_square_cosine_squared(int order) {
  const double turn = 2 * pi * (order / 2) / order;
  const double cosine = std::cos(turn);
  return cosine < -1e-9 ? -cosine / (1 - cosine) : -1;
}

Vec3 make_perpendicular(const Vec3& axis) {
  return axis.cross(std::abs(axis.z()) < 0.9 ? Vec3::UnitZ() : Vec3::UnitX()).normalized();
}

Vec3 turn_about(const Vec3& v, const Vec3& axis, double angle) {
  return Eigen::AngleAxisd(angle, axis) * v;
}

/// Whether -direction is an image of direction.
bool is_two_ended(const PointGroup& group, const Vec3& direction) {
  return std::any_of(group.elements.begin(), group.elements.end(), [&](const Mat3& g) {
    return g.determinant() > 0 && (g * direction + direction).norm() < 1e-6;
  });
}

/// The same with reflections counted.
bool turns_over(const PointGroup& group, const Vec3& direction) {
  return std::any_of(group.elements.begin(), group.elements.end(),
                     [&](const Mat3& g) { return (g * direction + direction).norm() < 1e-6; });
}

/// The region of normals that are all different under the group's rotations: for T, O and I the
/// spherical triangle between an axis and two neighbouring images of a threefold axis; for Cn and
/// Dn a sector of the half sphere. Under Cn turning the normal about the axis changes nothing.
void set_domain(const PointGroup& group, Branch& branch) {
  const std::vector<Axis> axes = find_axes(group);
  std::vector<Axis> high;
  for (const Axis& axis : axes)
    if (axis.order >= 3) high.push_back(axis);
  const bool is_polyhedral =
      high.size() >= 2 && std::abs(high[0].direction.dot(high[1].direction)) < 1 - 1e-6;
  if (!is_polyhedral) {
    const Vec3 axis = axes.empty() ? Vec3(Vec3::UnitZ()) : axes[0].direction;
    const int order = axes.empty() ? 1 : axes[0].order;
    branch.is_lune = true;
    branch.domain[0] = axis;
    branch.domain[1] = axes.size() > 1 && std::abs(axes[1].direction.dot(axis)) < 0.5
                           ? axes[1].direction
                           : make_perpendicular(axis);
    branch.domain[2] = axis.cross(branch.domain[1]);
    branch.sector_rad = is_two_ended(group, axis) ? 2 * pi / order : 0;
    return;
  }
  const Axis& first = high[0];
  Vec3 nearest = Vec3::Zero();
  for (const Mat3& g : group.elements) {
    if (g.determinant() < 0) continue;
    const Vec3 image = g * high[1].direction;
    if (nearest.isZero() || first.direction.dot(image) > first.direction.dot(nearest) + 1e-9)
      nearest = image;
  }
  branch.domain = {first.direction, nearest,
                   turn_about(nearest, first.direction, 2 * pi / first.order)};
}

Vec3 find_normal(const Branch& branch, const double* values) {
  switch (branch.kind) {
    case PlaneKind::on_axis:
    case PlaneKind::in_sector:
      return branch.axis.direction;
    case PlaneKind::square: {
      const Vec3 across = make_perpendicular(branch.axis.direction);
      const Vec3 tilted =
          std::cos(branch.cone_rad) * branch.axis.direction + std::sin(branch.cone_rad) * across;
      return turn_about(tilted, branch.axis.direction, to_radians(values[0])).normalized();
    }
    case PlaneKind::upright: {
      const double azimuth = branch.sector_rad > 0 ? values[0] * branch.sector_rad : 0;
      return (std::cos(azimuth) * branch.domain[1] + std::sin(azimuth) * branch.domain[2])
          .normalized();
    }
    case PlaneKind::generic:
    case PlaneKind::centre:
      break;
  }
  const auto& [a, b, c] = branch.domain;
  if (branch.is_lune) {
    const double height = 1 - values[0], radius = std::sqrt(std::max(0.0, 1 - height * height));
    const double azimuth = values[1] * branch.sector_rad;
    return (height * a + radius * (std::cos(azimuth) * b + std::sin(azimuth) * c)).normalized();
  }
  // Equal areas of the flat triangle, near enough on the sphere.
  const double s = std::sqrt(values[0]);
  return ((1 - s) * a + s * ((1 - values[1]) * b + values[1] * c)).normalized();
}

std::string join(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

}  // namespace

std::vector<std::string> find_plane_names(const PointGroup& group) {
  std::vector<std::string> names = {"generic"};
  const std::vector<NamedAxis> axes = find_named_axes(group);
  for (const NamedAxis& named : axes) names.push_back("axis-" + named.suffix);
  for (const NamedAxis& named : axes) names.push_back("sector-" + named.suffix);
  names.push_back("centre");
  for (const NamedAxis& named : axes)
    if (find_square_cosine_squared(named.axis.order) > 0) names.push_back("square-" + named.suffix);
  Branch branch;
  set_domain(group, branch);
  if (branch.is_lune && turns_over(group, branch.domain[0])) names.push_back("upright");
  return names;
}

namespace {

std::shared_ptr<const GroupTables> make_shared_tables(PointGroup group) {
  return std::make_shared<const GroupTables>(make_group_tables(std::move(group)));
}

/// All of a branch but its outline.
Branch make_placing(const std::shared_ptr<const GroupTables>& tables, const std::string& plane) {
  const PointGroup& group = tables->group;
  const std::vector<std::string> names = find_plane_names(group);
  if (std::find(names.begin(), names.end(), plane) == names.end())
    throw std::invalid_argument("the group " + group.symbol + " has no kind of plane called '" +
                                plane + "'; it has " + join(names));
  Branch branch;
  branch.symmetry = group.symbol;
  branch.plane = plane;

  const std::size_t dash = plane.find('-');
  const std::string kind = plane.substr(0, dash);
  branch.kind = kind == "axis"      ? PlaneKind::on_axis
                : kind == "sector"  ? PlaneKind::in_sector
                : kind == "centre"  ? PlaneKind::centre
                : kind == "square"  ? PlaneKind::square
                : kind == "upright" ? PlaneKind::upright
                                    : PlaneKind::generic;
  if (dash != std::string::npos)
    for (const NamedAxis& named : find_named_axes(group))
      if (named.suffix == plane.substr(dash + 1)) branch.axis = named.axis;

  std::vector<SearchParameter>& parameters = branch.parameters;
  if (branch.kind == PlaneKind::generic || branch.kind == PlaneKind::centre) {
    set_domain(group, branch);
    parameters.push_back({"off_axis", 0, 1, false});
    if (!branch.is_lune || branch.sector_rad > 0) parameters.push_back({"around", 0, 1, false});
  } else if (branch.kind == PlaneKind::upright) {
    set_domain(group, branch);
    if (branch.sector_rad > 0) parameters.push_back({"around", 0, 1, false});
  } else if (branch.kind == PlaneKind::square) {
    branch.cone_rad = std::acos(std::sqrt(find_square_cosine_squared(branch.axis.order)));
    parameters.push_back({"around_deg", 0, 360.0 / branch.axis.order, false});
  }
  if (branch.kind != PlaneKind::on_axis) {
    if (branch.kind != PlaneKind::centre) parameters.push_back({"tilt_deg", 0, 88, false});
    parameters.push_back({"hub_deg", 0, 360, false});
  }
  parameters.push_back({"size", 0.2, 3, true});

  // A scheme depends on the kind of plane alone, so any normal of the kind serves; the middle of
  // the box is off all other axes.
  const std::vector<double> middle = to_values(branch, UnitPoint(parameters.size(), 0.413));
  branch.scheme = make_orbit_scheme(
      tables, find_normal(branch, middle.data()), branch.kind == PlaneKind::centre,
      branch.kind == PlaneKind::on_axis ? OnAxis::symmetric_outline : OnAxis::own_sector);
  return branch;
}

/// Whether anything that goes together by straight pushes lies there.
bool is_promising(const std::string& plane, const Limits& limits) {
  const bool upright = plane == "upright";
  switch (limits.joints_by) {
    case JointsBy::tab:
      return !upright;
    case JointsBy::slot:
      return upright || limits.working_strain > 0;
    case JointsBy::both:
      break;
  }
  return true;
}

void set_outline(const OutlineFamily& family, Branch& branch) {
  branch.family = family.name;
  branch.outline = &family;
  for (const Parameter& parameter : family.parameters)
    branch.parameters.push_back({parameter.name, parameter.low, parameter.high, false});
}

}  // namespace

Branch make_branch(const std::string& symmetry, const std::string& plane,
                   const std::string& family) {
  Branch branch = make_placing(make_shared_tables(make_point_group(symmetry)), plane);
  set_outline(find_outline_family(family), branch);
  return branch;
}

std::vector<Branch> find_branches(const BranchChoice& choice, const Limits& limits) {
  std::vector<std::string> families = choice.families;
  if (families.empty())
    for (const OutlineFamily& family : outline_families()) families.push_back(family.name);
  for (const std::string& family : families) find_outline_family(family);
  std::vector<Branch> branches;
  std::vector<std::string> known;
  for (const std::string& symmetry : choice.symmetries) {
    const auto tables = make_shared_tables(make_point_group(symmetry));
    const std::vector<std::string> names = find_plane_names(tables->group);
    known.insert(known.end(), names.begin(), names.end());
    for (const std::string& plane : names) {
      // "axis" alone means all kinds whose name begins so.
      const auto is_meant = [&](const std::string& word) {
        return word == plane || plane.starts_with(word + "-");
      };
      if (!choice.planes.empty() &&
          std::none_of(choice.planes.begin(), choice.planes.end(), is_meant))
        continue;
      if (choice.planes.empty() && !is_promising(plane, limits)) continue;
      // The scheme is the same for all families and takes long to make.
      const Branch placing = make_placing(tables, plane);
      const int panels = placing.scheme.panels();
      if (!(limits.min_panels <= panels && panels <= limits.max_panels)) continue;
      for (const std::string& family : families) {
        Branch branch = placing;
        set_outline(find_outline_family(family), branch);
        if (branch.kind == PlaneKind::on_axis && branch.axis.order > branch.outline->most_fold)
          continue;
        branches.push_back(std::move(branch));
      }
    }
  }
  std::sort(known.begin(), known.end());
  known.erase(std::unique(known.begin(), known.end()), known.end());
  for (const std::string& word : choice.planes)
    if (std::none_of(known.begin(), known.end(), [&](const std::string& name) {
          return name == word || name.starts_with(word + "-");
        }))
      throw std::invalid_argument("none of the groups has a kind of plane called '" + word +
                                  "'; there are " + join(known));
  return branches;
}

std::vector<double> to_values(const Branch& branch, const UnitPoint& point) {
  assert(point.size() == branch.parameters.size());
  std::vector<double> values(point.size());
  for (std::size_t k = 0; k < point.size(); ++k) {
    const SearchParameter& p = branch.parameters[k];
    values[k] = p.logarithmic ? p.low * std::pow(p.high / p.low, point[k])
                              : p.low + (p.high - p.low) * point[k];
    values[k] = std::clamp(values[k], p.low, p.high);
  }
  return values;
}

UnitPoint to_unit_point(const Branch& branch, std::span<const double> values) {
  assert(values.size() == branch.parameters.size());
  UnitPoint point(values.size());
  for (std::size_t k = 0; k < values.size(); ++k) {
    const SearchParameter& p = branch.parameters[k];
    const double share = p.logarithmic ? std::log(values[k] / p.low) / std::log(p.high / p.low)
                                       : (values[k] - p.low) / (p.high - p.low);
    point[k] = std::clamp(share, 0.0, 1.0);
  }
  return point;
}

std::string find_fault(const Branch& branch, std::span<const double> values) {
  if (values.size() != branch.parameters.size())
    return std::to_string(values.size()) + " parameters are given; " + branch.symmetry + ", " +
           branch.plane + ", " + branch.family + " takes " +
           std::to_string(branch.parameters.size());
  for (std::size_t k = 0; k < values.size(); ++k) {
    const SearchParameter& p = branch.parameters[k];
    if (!(p.low <= values[k] && values[k] <= p.high))
      return "the parameter " + p.name + " is " + std::to_string(values[k]) + "; allowed is " +
             std::to_string(p.low) + " to " + std::to_string(p.high);
  }
  return "";
}

namespace {

/// Normal, distance and hub.
void set_plane(const Branch& branch, const double* value, Draft& draft) {
  draft.normal = find_normal(branch, value);
  if (branch.kind == PlaneKind::square) value += 1;
  if (branch.kind == PlaneKind::upright && branch.sector_rad > 0) value += 1;
  if (branch.kind == PlaneKind::generic || branch.kind == PlaneKind::centre)
    value += !branch.is_lune || branch.sector_rad > 0 ? 2 : 1;
  double tilt = 0, hub = 0;
  if (branch.kind == PlaneKind::centre) tilt = pi / 2;
  if (branch.kind != PlaneKind::on_axis) {
    if (branch.kind != PlaneKind::centre) tilt = to_radians(*value++);
    hub = to_radians(*value);
  }
  draft.distance = branch.kind == PlaneKind::centre ? 0 : std::cos(tilt);
  draft.hub = std::sin(tilt) * Vec2(std::cos(hub), std::sin(hub));
}

}  // namespace

Placing find_placing(const Branch& branch, const UnitPoint& point) {
  const std::vector<double> values = to_values(branch, point);
  Draft draft;
  set_plane(branch, values.data(), draft);
  const Vec3 hub = make_frame(draft.normal, draft.distance).to_space(draft.hub);
  const Vec3 towards(0.36, 0.48, 0.8);  // off all axes and mirror planes
  Placing best;
  double most = -1;
  for (const Mat3& g : branch.scheme.group->elements) {
    const Vec3 image = g * hub;
    const double along = image.dot(towards);
    if (!(std::abs(along) > most + 1e-9)) continue;
    most = std::abs(along);
    const double sign = along < 0 ? -1 : 1;
    best = {sign * g * draft.normal, sign * image};
  }
  return best;
}

void make_draft(const Branch& branch, std::span<const double> values, Draft& draft) {
  assert(find_fault(branch, values).empty());
  const std::size_t own = branch.outline->parameters.size();
  const double size = values[values.size() - own - 1];
  set_plane(branch, values.data(), draft);
  branch.outline->draw_into(values.subspan(values.size() - own),
                            branch.kind == PlaneKind::on_axis ? branch.axis.order : 1,
                            draft.outline);
  for (Vec2& p : draft.outline) p = size * p + draft.hub;
}

}  // namespace sixtyfold
