#include "search/tune/job.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>
#include <utility>

#include "engine/contact/slot.h"
#include "engine/nest/sheet_fit.h"
#include "engine/shape/hub.h"
#include "engine/structure/block_stiffness.h"
#include "engine/text.h"
#include "engine/tolerance.h"
#include "engine/variant/structure.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

}  // namespace

void measure_placed(const TuneJob& job, const Frame& frame, Placed& placed) {
  const OrbitScheme& scheme = job.scheme;
  Variant& variant = placed.variant;
  variant.frame = frame;
  variant.outline.assign(placed.outline);
  variant.joints.clear();
  variant.scale_mm = 1;
  find_meeting_lines(scheme, frame, variant.lines);
  std::vector<Polygon> loops{placed.outline};
  loops.insert(loops.end(), placed.holes.begin(), placed.holes.end());
  placed.crossing_mm = placed.total_mm = placed.max_angle_deg = 0;
  placed.joints = 0;
  placed.shortest_mm = std::numeric_limits<double>::infinity();
  placed.min_angle_deg = 180;
  SideSpans first, second;
  std::vector<Contact> contacts;
  int subgroup = scheme.outline_subgroup;
  for (const PairClass& pair : scheme.pairs) {
    const MeetingLine &line = variant.lines[index(pair.element)],
                      &other = variant.lines[index(pair.inverse)];
    if (!line.exists) continue;
    find_spans(loops, line, contact_band_mm, first);
    if (first.empty()) continue;
    contacts.clear();
    if (pair.element == pair.inverse) {
      find_contacts(first, first, pair.proper, contact_band_mm, contacts);
    } else {
      find_spans(loops, other, contact_band_mm, second);
      find_contacts(first, second, pair.proper, contact_band_mm, contacts);
    }
    const bool slotted = job.limits.joints_by != JointsBy::tab &&
                         find_halved_slot(first, pair.element == pair.inverse ? first : second,
                                          pair.proper, contacts, contact_band_mm);
    for (const Contact& contact : contacts) {
      if (contact.kind == ContactKind::crossing && !slotted) {
        placed.crossing_mm = std::max(placed.crossing_mm, contact.length());
        continue;
      }
      const PairJoint joint{pair.element, pair.pairs, contact,
                            measure_contact_angle(contact, line.theta_rad())};
      variant.joints.push_back(joint);
      if (contact.length() < least_joint_mm) continue;
      placed.joints += pair.pairs;
      placed.total_mm += pair.pairs * contact.length();
      placed.shortest_mm = std::min(placed.shortest_mm, contact.length());
      placed.min_angle_deg = std::min(placed.min_angle_deg, to_degrees(joint.angle_rad));
      placed.max_angle_deg = std::max(placed.max_angle_deg, to_degrees(joint.angle_rad));
      subgroup = scheme.subgroups->add(subgroup, pair.element);
    }
  }
  double squared = 0;
  for (const Vec2& p : placed.outline) squared = std::max(squared, frame.to_space(p).squaredNorm());
  placed.diameter_mm = 2 * std::sqrt(squared);
  placed.pieces = scheme.count_pieces(subgroup);
}

std::vector<PairJoint> find_class_joints(const Placed& placed, const PairClass& pair) {
  std::vector<PairJoint> joints;
  for (const PairJoint& joint : placed.variant.joints)
    if (joint.element == pair.element) joints.push_back(joint);
  std::stable_sort(joints.begin(), joints.end(), [](const PairJoint& a, const PairJoint& b) {
    return a.contact.length() > b.contact.length();
  });
  return joints;
}

namespace {

/// Elements that keep the plane and act in it as a mirror that keeps the outline.
std::vector<int> find_mirrors_of(const PointGroup& group, const Frame& frame, bool through_centre,
                                 const Polygon& outline, double size) {
  std::vector<int> mirrors;
  for (int e = 1; e < group.order(); ++e) {
    const Mat3& g = group.elements[index(e)];
    const double kept = frame.normal.dot(g * frame.normal);
    if (!(kept > 1 - 1e-9 || (through_centre && kept < -1 + 1e-9))) continue;
    if (g.determinant() * kept > 0) continue;
    if (std::all_of(outline.begin(), outline.end(), [&](const Vec2& p) {
          return distance_to_boundary(outline, frame.to_plane(g * frame.to_space(p))) < 1e-4 * size;
        }))
      mirrors.push_back(e);
  }
  return mirrors;
}

/// The point of the mirror line that lies deepest in the outline.
Vec2 find_hub_on_mirror(const Mat3& mirror, const Frame& frame, const Polygon& outline) {
  const Vec3 image = mirror * frame.x_axis;
  const double angle = std::atan2(frame.y_axis.dot(image), frame.x_axis.dot(image)) / 2;
  const Vec2 along(std::cos(angle), std::sin(angle));
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Vec2& p : outline)
    low = std::min(low, along.dot(p)), high = std::max(high, along.dot(p));
  Vec2 hub = Vec2::Zero();
  double deepest = -1;
  for (int i = 1; i < 200; ++i) {
    const Vec2 p = (low + (high - low) * i / 200) * along;
    if (!contains(outline, p)) continue;
    const double depth = distance_to_boundary(outline, p);
    if (depth > deepest) deepest = depth, hub = p;
  }
  return hub;
}

}  // namespace

std::vector<Eigen::Matrix2d> find_own_turns(const OrbitScheme& scheme, const Frame& frame) {
  std::vector<Eigen::Matrix2d> turns;
  for (const OwnSymmetry& own : scheme.own_symmetries) {
    const Mat3& g = scheme.group->elements[index(own.element)];
    Eigen::Matrix2d& turn = turns.emplace_back(Eigen::Matrix2d::Identity());
    if (own.element == 0) continue;
    turn << frame.x_axis.dot(g * frame.x_axis), frame.x_axis.dot(g * frame.y_axis),
        frame.y_axis.dot(g * frame.x_axis), frame.y_axis.dot(g * frame.y_axis);
  }
  return turns;
}

namespace {

/// The one panel type of the design, its plane turned so that its normal points outwards.
struct OwnPanel {
  const Orbit& orbit;
  std::shared_ptr<const PointGroup> group;
  Vec3 normal;  ///< unit vector
  Frame frame;
  bool through_centre;
  double reach;  ///< its farthest point from the centre
  int copies() const { return static_cast<int>(orbit.copies.size()); }
  Polygon place(const Polygon& polygon) const {
    Polygon placed;
    for (const Vec2& p : polygon) placed.push_back(frame.to_plane(orbit.panel.frame.to_space(p)));
    return make_counter_clockwise(std::move(placed));
  }
};

OwnPanel make_own_panel(const Design& design) {
  if (design.orbits.size() != 1)
    throw std::invalid_argument(
        format("tune works on one panel type; this design has %zu", design.orbits.size()));
  const Orbit& orbit = design.orbits.front();
  const Frame& frame = orbit.panel.frame;
  const double distance = frame.origin.dot(frame.normal);
  const double reach = std::max(1.0, measure_reach(orbit.panel));
  const Vec3 normal = distance < 0 ? Vec3(-frame.normal) : frame.normal;
  return {orbit,
          std::make_shared<const PointGroup>(make_point_group(design.symmetry)),
          normal,
          make_frame(normal, std::abs(distance)),
          std::abs(distance) < 1e-6 * reach,
          reach};
}

/// The scheme with as many copies as the design has; where there is none, that of all elements.
OrbitScheme find_scheme(const OwnPanel& panel, const Polygon& outline) {
  const Vec3 normal = panel.normal.normalized();
  const bool all = panel.copies() == panel.group->order();
  OrbitScheme scheme = make_orbit_scheme(panel.group, normal, panel.through_centre,
                                         all ? OnAxis::own_sector : OnAxis::symmetric_outline);
  if (scheme.panels() == panel.copies()) return scheme;
  const auto tables = std::make_shared<const GroupTables>(make_group_tables(*panel.group));
  for (const int element :
       find_mirrors_of(*panel.group, panel.frame, panel.through_centre, outline, panel.reach)) {
    const Vec2 hub =
        find_hub_on_mirror(panel.group->elements[index(element)], panel.frame, outline);
    scheme = make_orbit_scheme(tables, normal, panel.through_centre, panel.frame.to_space(hub));
    if (scheme.panels() == panel.copies()) return scheme;
  }
  return make_orbit_scheme(panel.group, normal, panel.through_centre, OnAxis::own_sector);
}

/// The axis of a symmetric outline, else its deepest point or that of its mirror line, so that
/// pulling back and trimming never lose the panel's body.
Vec2 find_own_hub(const OwnPanel& panel, const OrbitScheme& scheme, const Polygon& outline) {
  if (scheme.own_symmetries.size() == 1) return find_hub(outline);
  if (scheme.outline_fold() != 1) return Vec2::Zero();
  return find_hub_on_mirror(panel.group->elements[index(scheme.own_symmetries.back().element)],
                            panel.frame, outline);
}

void check_copies(const OwnPanel& panel, const OrbitScheme& scheme, const std::string& symmetry) {
  const auto& elements = panel.group->elements;
  const auto is_element = [&](const Mat3& copy) {
    return std::any_of(elements.begin(), elements.end(),
                       [&](const Mat3& g) { return (g - copy).cwiseAbs().maxCoeff() < 1e-5; });
  };
  const auto& copies = panel.orbit.copies;
  if (scheme.panels() != panel.copies() || !std::all_of(copies.begin(), copies.end(), is_element))
    throw std::invalid_argument("the design's copies are not those that its symmetry " + symmetry +
                                " makes of its panel; tune needs them to be");
}

}  // namespace

TuneJob make_tune_job(const Design& design, Placed& original) {
  const OwnPanel panel = make_own_panel(design);
  original.outline = panel.place(panel.orbit.panel.outline_mm);
  for (const Polygon& hole : panel.orbit.panel.holes_mm)
    original.holes.push_back(panel.place(hole));
  TuneJob job;
  job.scheme = find_scheme(panel, original.outline);
  original.hub = find_own_hub(panel, job.scheme, original.outline);
  check_copies(panel, job.scheme, design.symmetry);
  job.thickness_mm = design.thickness_mm;
  job.own_limits = job.limits = design.limits;
  for (const Vec2& p : original.outline)
    job.radius_mm = std::max(job.radius_mm, (p - original.hub).norm());
  measure_placed(job, panel.frame, original);
  for (const PairClass& pair : job.scheme.pairs) {
    const std::vector<PairJoint> joints = find_class_joints(original, pair);
    job.joined.push_back(!joints.empty() && joints.front().contact.length() >= least_joint_mm);
  }
  return job;
}

double measure_room(const TuneJob& job, const Placed& placed) {
  Polygon points = placed.outline;
  const double depth = job.limits.tab_depth_mm;
  for (const PairJoint& joint : placed.variant.joints) {
    const Contact& contact = joint.contact;
    if (contact.kind == ContactKind::crossing) continue;  // slots have no tabs
    const bool proper = job.scheme.group->elements[index(joint.element)].determinant() > 0;
    const auto add_tab = [&](int element, double from, double to, bool above) {
      // Ends cut back at 45 degrees.
      const MeetingLine& line = placed.variant.lines[index(element)];
      const Vec2 out = (above ? -depth : depth) * line.side;
      const double cut = std::min(depth, (to - from) / 2);
      from += cut;
      to -= cut;
      points.push_back(line.point_at(from) + out);
      points.push_back(line.point_at(to) + out);
    };
    if (contact.kind != ContactKind::edge_second)
      add_tab(joint.element, contact.from, contact.to, contact.first_above);
    if (contact.kind != ContactKind::edge_first)
      add_tab(job.scheme.group->invert(joint.element), proper ? -contact.to : contact.from,
              proper ? -contact.from : contact.to, contact.second_above);
  }
  const double sheet =
      measure_largest_scale(make_convex_hull(points), 0, make_sheet(job.limits)).scale;
  return std::min(sheet, job.limits.max_diameter_mm / placed.diameter_mm);
}

double measure_placed_stiffness(const TuneJob& job, const Placed& placed) {
  if (placed.joints == 0 || placed.pieces != 1) return 0;
  SymmetricStructure structure;
  make_symmetric_structure(job.scheme, placed.variant, placed.outline, structure);
  structure.body = measure_body(placed.variant.frame, placed.outline);
  structure.pieces = placed.pieces;
  const auto work = std::make_unique<StiffnessWorkspace>();
  return measure_stiffness(*job.scheme.blocks, structure, *work).value;
}

Design make_placed_design(const TuneJob& job, const Design& original, const Placed& placed) {
  Design design = make_design(job.scheme, placed.variant, job.own_limits);
  design.name = original.name;
  design.thickness_mm = original.thickness_mm;
  design.orbits.front().panel.holes_mm = placed.holes;
  design.orbits.front().panel.outline_mm = placed.outline;
  design.recipe = Recipe{};
  design.recipe.symmetry = original.symmetry;
  return design;
}

}  // namespace sixtyfold
