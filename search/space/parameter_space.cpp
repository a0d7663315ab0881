#include "search/space/parameter_space.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>

#include "engine/contact/cells.h"
#include "engine/shape/frame.h"
#include "engine/shape/mirrored.h"

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

/// Normals of one mirror plane of each class.
std::vector<Vec3> find_mirrors(const PointGroup& group) {
  std::vector<Vec3> mirrors;
  for (const Mat3& g : group.elements) {
    if (!(g.determinant() < 0) || std::abs(g.trace() - 1) > 1e-6) continue;
    const Mat3 projector = (Mat3::Identity() - g) / 2;
    Vec3 normal = projector.col(0);
    for (int k = 1; k < 3; ++k)
      if (projector.col(k).norm() > normal.norm() + 1e-9) normal = projector.col(k);
    normal.normalize();
    const bool is_known = std::any_of(mirrors.begin(), mirrors.end(), [&](const Vec3& known) {
      return std::any_of(group.elements.begin(), group.elements.end(),
                         [&](const Mat3& h) { return std::abs(normal.dot(h * known)) > 1 - 1e-9; });
    });
    if (!is_known) mirrors.push_back(normal);
  }
  return mirrors;
}

/// "", "-b", "-c"
std::string find_letter(std::size_t number) {
  return number == 0 ? "" : std::string("-") + static_cast<char>('a' + number);
}

/// How often the elements that keep a mirror plane turn it within itself on the way round.
int count_turns_in(const PointGroup& group, const Vec3& mirror) {
  int count = 0;
  for (const Mat3& g : group.elements) {
    const double kept = mirror.dot(g * mirror);
    count += std::abs(kept) > 1 - 1e-9 && g.determinant() * kept > 0;
  }
  return std::max(1, count / 2);  // each with and without the mirror
}

/// Twofold, and nothing but the half turn keeps it.
bool is_bare_twofold(const PointGroup& group, const Axis& axis) {
  return axis.order == 2 && find_stabiliser(group, axis.direction).size() == 2;
}

constexpr const char* meet_ending = "-meet";
constexpr const char* windows_ending = "-windows";

/// The name of a family without what it says of windows.
std::string find_outline_name(std::string family) {
  if (family.ends_with(windows_ending))
    family.resize(family.size() - std::string(windows_ending).size());
  return family;
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
    case PlaneKind::mirror:
      return turn_about(make_perpendicular(branch.mirror), branch.mirror, to_radians(values[0]))
          .normalized();
    case PlaneKind::across:
      return turn_about(make_perpendicular(branch.axis.direction), branch.axis.direction,
                        to_radians(values[0]))
          .normalized();
    case PlaneKind::upright: {
      if (branch.is_mirrored) return branch.domain[0].cross(branch.mirror).normalized();
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

bool is_through_centre(PlaneKind kind) {
  return kind == PlaneKind::centre || kind == PlaneKind::across;
}

/// Whether the hub may lie anywhere about the plane's foot.
bool has_free_hub(const Branch& branch) {
  return branch.kind != PlaneKind::on_axis && !branch.is_mirrored;
}

/// How many values the normal takes.
int count_normal_values(const Branch& branch) {
  switch (branch.kind) {
    case PlaneKind::generic:
    case PlaneKind::centre:
      return !branch.is_lune || branch.sector_rad > 0 ? 2 : 1;
    case PlaneKind::upright:
      return branch.sector_rad > 0 && !branch.is_mirrored ? 1 : 0;
    case PlaneKind::square:
    case PlaneKind::mirror:
    case PlaneKind::across:
      return 1;
    case PlaneKind::on_axis:
    case PlaneKind::in_sector:
      break;
  }
  return 0;
}

/// Normal, distance and hub.
void set_plane(const Branch& branch, const double* value, Draft& draft) {
  draft.normal = find_normal(branch, value);
  value += count_normal_values(branch);
  double tilt = 0;
  if (is_through_centre(branch.kind))
    tilt = pi / 2;
  else if (branch.kind != PlaneKind::on_axis)
    tilt = to_radians(*value++);
  draft.distance = is_through_centre(branch.kind) ? 0 : std::cos(tilt);
  if (branch.is_mirrored) {
    // On the line about which the outline is mirror-symmetric.
    const Frame frame = make_frame(draft.normal, 0);
    const Vec3 along = branch.kind == PlaneKind::across ? branch.axis.direction
                                                        : branch.mirror.cross(draft.normal);
    draft.hub = std::sin(tilt) * frame.to_plane(along);
    return;
  }
  const double hub = branch.kind == PlaneKind::on_axis ? 0 : to_radians(*value);
  draft.hub = std::sin(tilt) * Vec2(std::cos(hub), std::sin(hub));
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
  const std::vector<Vec3> mirrors = find_mirrors(group);
  for (std::size_t i = 0; i < mirrors.size(); ++i) names.push_back("mirror" + find_letter(i));
  for (const NamedAxis& named : axes)
    if (is_bare_twofold(group, named.axis)) names.push_back("across-" + named.suffix);
  for (std::size_t i = 0, count = names.size(); i < count; ++i)
    if (!names[i].starts_with("square")) names.push_back(names[i] + meet_ending);
  Branch branch;
  set_domain(group, branch);
  const bool has_mirror_across = std::any_of(
      mirrors.begin(), mirrors.end(),
      [&](const Vec3& mirror) { return std::abs(mirror.dot(branch.domain[0])) > 1e-9; });
  if (branch.is_lune && turns_over(group, branch.domain[0]) && !has_mirror_across)
    names.push_back("upright");
  return names;
}

namespace {

std::shared_ptr<const GroupTables> make_shared_tables(PointGroup group) {
  return std::make_shared<const GroupTables>(make_group_tables(std::move(group)));
}

PlaneKind find_kind(const std::string& word) {
  return word == "axis"      ? PlaneKind::on_axis
         : word == "sector"  ? PlaneKind::in_sector
         : word == "centre"  ? PlaneKind::centre
         : word == "square"  ? PlaneKind::square
         : word == "mirror"  ? PlaneKind::mirror
         : word == "across"  ? PlaneKind::across
         : word == "upright" ? PlaneKind::upright
                             : PlaneKind::generic;
}

/// What the name of a kind of plane says: how it is trimmed, which kind, axis and mirror.
void set_place(const PointGroup& group, Branch& branch) {
  std::string place = branch.plane;
  if (place.ends_with(meet_ending)) {
    branch.trim = TrimStyle::meet;
    place.resize(place.size() - std::string(meet_ending).size());
  }
  const std::size_t dash = place.find('-');
  const std::string kind = place.substr(0, dash);
  branch.kind = find_kind(kind);
  if (dash != std::string::npos)
    for (const NamedAxis& named : find_named_axes(group))
      if (named.suffix == place.substr(dash + 1)) branch.axis = named.axis;
  const std::vector<Vec3> mirrors = find_mirrors(group);
  branch.is_mirrored = branch.kind == PlaneKind::mirror || branch.kind == PlaneKind::across ||
                       (branch.kind == PlaneKind::upright && !mirrors.empty());
  if (branch.kind == PlaneKind::upright && branch.is_mirrored) branch.mirror = mirrors.front();
  if (branch.kind == PlaneKind::mirror)
    for (std::size_t i = 0; i < mirrors.size(); ++i)
      if (place == kind + find_letter(i)) branch.mirror = mirrors[i];
}

/// Where the plane and the hub in it may lie, and the size.
void add_place_parameters(const PointGroup& group, Branch& branch) {
  std::vector<SearchParameter>& parameters = branch.parameters;
  if (branch.kind == PlaneKind::generic || branch.kind == PlaneKind::centre) {
    set_domain(group, branch);
    parameters.push_back({"off_axis", 0, 1, false});
    if (!branch.is_lune || branch.sector_rad > 0) parameters.push_back({"around", 0, 1, false});
  } else if (branch.kind == PlaneKind::upright) {
    set_domain(group, branch);
    if (branch.is_mirrored)
      parameters.push_back({"tilt_deg", -88, 88, false});
    else if (branch.sector_rad > 0)
      parameters.push_back({"around", 0, 1, false});
  } else if (branch.kind == PlaneKind::square) {
    branch.cone_rad = std::acos(std::sqrt(find_square_cosine_squared(branch.axis.order)));
    parameters.push_back({"around_deg", 0, 360.0 / branch.axis.order, false});
  } else if (branch.kind == PlaneKind::mirror) {
    parameters.push_back({"around_deg", 0, 360.0 / count_turns_in(group, branch.mirror), false});
    parameters.push_back({"tilt_deg", -88, 88, false});
  } else if (branch.kind == PlaneKind::across) {
    parameters.push_back({"around_deg", 0, 180, false});
  }
  if (has_free_hub(branch)) {
    if (!is_through_centre(branch.kind)) parameters.push_back({"tilt_deg", 0, 88, false});
    parameters.push_back({"hub_deg", 0, 360, false});
  }
  parameters.push_back({"size", 0.2, 3, true});
}

/// A scheme depends on the kind of plane alone, so any normal of the kind serves; the middle of the
/// box is off all other axes.
OrbitScheme make_scheme(const std::shared_ptr<const GroupTables>& tables, const Branch& branch) {
  const std::vector<double> middle = to_values(branch, UnitPoint(branch.parameters.size(), 0.413));
  const bool through_centre = is_through_centre(branch.kind);
  if (!branch.is_mirrored)
    return make_orbit_scheme(
        tables, find_normal(branch, middle.data()), through_centre,
        branch.kind == PlaneKind::on_axis ? OnAxis::symmetric_outline : OnAxis::own_sector);
  Draft draft;
  set_plane(branch, middle.data(), draft);
  return make_orbit_scheme(tables, draft.normal, through_centre,
                           make_frame(draft.normal, draft.distance).to_space(draft.hub));
}

/// All of a branch but its outline.
Branch make_bare_branch(const std::shared_ptr<const GroupTables>& tables,
                        const std::string& plane) {
  const PointGroup& group = tables->group;
  const std::vector<std::string> names = find_plane_names(group);
  if (std::find(names.begin(), names.end(), plane) == names.end())
    throw std::invalid_argument("the group " + group.symbol + " has no kind of plane called '" +
                                plane + "'; it has " + join(names));
  Branch branch;
  branch.symmetry = group.symbol;
  branch.plane = plane;
  set_place(group, branch);
  add_place_parameters(group, branch);
  branch.scheme = make_scheme(tables, branch);
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

void set_outline(const std::string& name, Branch& branch) {
  const OutlineFamily& family = find_any_family(find_outline_name(name));
  branch.family = name;
  branch.has_windows = name != family.name;
  branch.outline = &family;
  if (&family == &carved_family()) branch.axes = find_axis_orbits(*branch.scheme.group);
  for (const Parameter& parameter : family.parameters)
    branch.parameters.push_back({parameter.name, parameter.low, parameter.high, false});
  if (branch.has_windows) branch.parameters.push_back({"frame", 0.12, 0.6, true});
}

/// `size` and after it the values of the outline, without the windows' frame.
std::span<const double> find_outline_values(const Branch& branch, std::span<const double> values) {
  const std::size_t own = branch.outline->parameters.size() + 1;
  return values.subspan(values.size() - (branch.has_windows ? 1 : 0) - own, own);
}

/// Families of a choice with windows or without, each once.
std::vector<std::string> list_families(const BranchChoice& choice) {
  std::vector<std::string> named = choice.families;
  if (named.empty()) {
    named = find_family_names();
    std::erase(named, celled_family().name);
  }
  std::vector<std::string> families;
  const auto add = [&](const std::string& name) {
    if (std::find(families.begin(), families.end(), name) == families.end())
      families.push_back(name);
  };
  for (const std::string& name : named) {
    find_any_family(find_outline_name(name));
    if (name.ends_with(windows_ending)) {
      add(name);
      continue;
    }
    if (choice.windows != Windows::on) add(name);
    if (choice.windows != Windows::off) add(name + windows_ending);
  }
  return families;
}

}  // namespace

Branch make_branch(const std::string& symmetry, const std::string& plane,
                   const std::string& family) {
  Branch branch = make_bare_branch(make_shared_tables(make_point_group(symmetry)), plane);
  set_outline(family, branch);
  return branch;
}

std::vector<Branch> find_branches(const BranchChoice& choice, const Limits& limits) {
  const std::vector<std::string> families = list_families(choice);
  std::vector<Branch> branches;
  std::vector<std::string> known;
  for (const std::string& symmetry : choice.symmetries) {
    const auto tables = make_shared_tables(make_point_group(symmetry));
    const std::vector<std::string> names = find_plane_names(tables->group);
    known.insert(known.end(), names.begin(), names.end());
    for (const std::string& plane : names) {
      // "axis", which is no name of its own, means all kinds whose name begins so.
      const auto is_meant = [&](const std::string& word) {
        return word == plane || (std::find(names.begin(), names.end(), word) == names.end() &&
                                 plane.starts_with(word + "-"));
      };
      if (!choice.planes.empty() &&
          std::none_of(choice.planes.begin(), choice.planes.end(), is_meant))
        continue;
      if (choice.planes.empty() && !is_promising(plane, limits)) continue;
      // The scheme is the same for all families and takes long to make.
      const Branch placing = make_bare_branch(tables, plane);
      // Where some element swaps every two copies both are cut back alike anyway.
      const std::vector<PairClass>& pairs = placing.scheme.pairs;
      if (placing.trim == TrimStyle::meet &&
          std::all_of(pairs.begin(), pairs.end(), [](const PairClass& p) { return p.self_paired; }))
        continue;
      const int panels = placing.scheme.panels();
      if (!(limits.min_panels <= panels && panels <= limits.max_panels)) continue;
      for (const std::string& family : families) {
        Branch branch = placing;
        set_outline(family, branch);
        if (branch.scheme.outline_fold() > branch.outline->most_fold) continue;
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

Placing make_placing(const Branch& branch, const UnitPoint& point) {
  const std::vector<double> values = to_values(branch, point);
  Draft draft;
  set_plane(branch, values.data(), draft);
  return {draft.normal, make_frame(draft.normal, draft.distance).to_space(draft.hub)};
}

Placing find_placing(const Branch& branch, const UnitPoint& point) {
  const auto [normal, hub] = make_placing(branch, point);
  const Vec3 towards(0.36, 0.48, 0.8);  // off all axes and mirror planes
  Placing best;
  double most = -1;
  for (const Mat3& g : branch.scheme.group->elements) {
    const Vec3 image = g * hub;
    const double along = image.dot(towards);
    if (!(std::abs(along) > most + 1e-9)) continue;
    most = std::abs(along);
    const double sign = along < 0 ? -1 : 1;
    best = {sign * g * normal, sign * image};
  }
  return best;
}

Body make_body(const Branch& branch, std::span<const double> values) {
  assert(branch.outline == &carved_family());
  const std::span<const double> own = find_outline_values(branch, values);
  Body body;
  make_body(branch.axes, own.subspan(1), std::hypot(1, own.front()), body);
  return body;
}

namespace {

/// Direction of a mirror line of the outline, if there is one.
double find_mirror_direction(const OrbitScheme& scheme, const Frame& frame) {
  if (!scheme.has_mirror()) return 0;
  const int element = scheme.own_symmetries.back().element;
  const Vec3 image = scheme.group->elements[static_cast<std::size_t>(element)] * frame.x_axis;
  return std::atan2(frame.y_axis.dot(image), frame.x_axis.dot(image)) / 2;
}

}  // namespace

void make_draft(const Branch& branch, std::span<const double> values, Draft& draft) {
  assert(find_fault(branch, values).empty());
  const std::span<const double> own = find_outline_values(branch, values);
  const double size = own.front();
  set_plane(branch, values.data(), draft);
  draft.style = branch.trim;
  draft.frame = branch.has_windows ? values.back() : 0;
  draft.lines.clear();
  const int fold = branch.scheme.outline_fold();
  if (branch.outline == &carved_family()) {
    const Frame frame = make_frame(draft.normal, draft.distance);
    Section section;
    cut_section(make_body(branch, values), frame, draft.hub,
                {fold, find_mirror_direction(branch.scheme, frame)}, section);
    draft.outline.clear();
    if (section.holes.empty()) draft.outline = std::move(section.outline);
    return;
  }
  const bool celled = branch.outline == &celled_family();
  const OutlineFamily& drawn = celled ? find_outline_family("radial") : *branch.outline;
  drawn.draw_into(own.subspan(1), fold, draft.outline);
  if (branch.scheme.has_mirror())
    mirror_outline(draft.outline, fold,
                   find_mirror_direction(branch.scheme, make_frame(draft.normal, draft.distance)));
  // Cells are many beyond that.
  constexpr double celled_share = 0.6;
  constexpr int most_cells = 64;
  for (Vec2& p : draft.outline) p = (celled ? celled_share : 1) * size * p + draft.hub;
  if (!celled) return;
  const Frame frame = make_frame(draft.normal, draft.distance);
  std::vector<MeetingLine> lines;
  find_meeting_lines(branch.scheme, frame, lines);
  LabelledOutline joined;
  join_cells(branch.scheme, lines, draft.outline, draft.hub, most_cells, joined);
  joined.copy_to(draft.outline);
  draft.lines = joined.line;
}

}  // namespace sixtyfold
