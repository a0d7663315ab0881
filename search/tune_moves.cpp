#include "search/tune_moves.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <stdexcept>

#include "engine/contact/blunt.h"
#include "engine/contact/pull_back.h"
#include "engine/contact/setback.h"
#include "engine/shape/hub.h"
#include "engine/shape/width.h"
#include "engine/symmetry/subgroup.h"
#include "engine/text.h"
#include "engine/tolerance.h"

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
  std::vector<int> generators = scheme.outline_stabiliser;
  for (const PairClass& pair : scheme.pairs) {
    const MeetingLine &line = variant.lines[index(pair.element)],
                      &other = variant.lines[index(pair.inverse)];
    if (!line.exists) continue;
    find_spans(loops, line, contact_band_mm, first);
    if (first.empty()) continue;
    const bool proper = scheme.group->elements[index(pair.element)].determinant() > 0;
    contacts.clear();
    if (pair.element == pair.inverse) {
      find_contacts(first, first, proper, contact_band_mm, contacts);
    } else {
      find_spans(loops, other, contact_band_mm, second);
      find_contacts(first, second, proper, contact_band_mm, contacts);
    }
    for (const Contact& contact : contacts) {
      if (contact.kind == ContactKind::crossing) {
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
      generators.push_back(pair.element);
    }
  }
  placed.pieces = scheme.group->order() /
                  static_cast<int>(make_generated_subgroup(*scheme.group, generators).size());
}

/// The contacts of one pair class that count as joints, longest first.
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

/// Pulls the outline back from one contact; the images under its own rotations go with it.
bool drop_contact(const TuneJob& job, const Placed& placed, const PairJoint& joint,
                  Polygon& outline) {
  const PointGroup& group = *job.scheme.group;
  const MeetingLine& line = placed.variant.lines[index(joint.element)];
  const double theta = std::min(line.theta_rad(), pi - line.theta_rad());
  // Past the place where a cut edge would butt on the face, one more thickness of clearance.
  const double by =
      cut_on_face_setback(job.thickness_mm, theta) + job.thickness_mm / std::sin(theta);
  const bool proper = group.elements[index(joint.element)].determinant() > 0;
  const Contact& contact = joint.contact;
  const auto pull = [&](bool first) -> std::optional<Polygon> {
    const int element = first ? joint.element : group.invert(joint.element);
    const bool turned = !first && proper;
    Polygon result = outline;
    for (const int h : job.scheme.outline_stabiliser) {
      PullBack wanted;
      wanted.line = placed.variant.lines[index(group.multiply(h, element))];
      wanted.from = turned ? -contact.to : contact.from;
      wanted.to = turned ? -contact.from : contact.to;
      wanted.above = first ? contact.first_above : contact.second_above;
      wanted.by = by;
      if (!pull_back(wanted, placed.hub, result)) return std::nullopt;
    }
    return result;
  };
  std::optional<Polygon> best;
  if (contact.kind != ContactKind::edge_second) best = pull(true);
  if (contact.kind != ContactKind::edge_first && !group.is_involution(joint.element)) {
    std::optional<Polygon> other = pull(false);
    if (other && (!best || measure_area(*other) > measure_area(*best))) best = std::move(other);
  }
  if (!best) return false;
  outline = std::move(*best);
  return true;
}

}  // namespace

/// Drops what the structure does not keep. False when the hub is in the way.
bool apply_structure(const TuneJob& job, const KeptContacts& structure, const Placed& from,
                     Placed& to) {
  to.outline = from.outline;
  to.holes = from.holes;
  to.hub = from.hub;
  for (std::size_t i = 0; i < structure.size(); ++i) {
    if (structure[i] < 0) continue;
    const std::vector<PairJoint> joints = find_class_joints(from, job.scheme.pairs[i]);
    for (std::size_t k = index(structure[i]); k < joints.size(); ++k)
      if (!drop_contact(job, from, joints[k], to.outline)) return false;
  }
  // A cut that meets the old edge at a sharp angle leaves a tip: it is cut off square.
  LabelledOutline labelled, scratch;
  labelled.assign(to.outline);
  if (blunt_tips(labelled, job.limits.min_width_mm, scratch) > 0)
    to.outline = labelled.to_polygon();
  for (const Polygon& hole : to.holes)
    for (const Vec2& p : hole)
      if (!contains(to.outline, p)) return false;
  measure_placed(job, from.variant.frame, to);
  return true;
}

/// The cheap limits.
bool is_within_limits(const TuneJob& job, const Placed& placed) {
  const Limits& limits = job.limits;
  if (placed.joints == 0 || placed.pieces != 1 || placed.crossing_mm > 0.5) return false;
  if (is_rigid_wanted(job) && 5 * placed.joints < 6 * (job.scheme.panels() - 1)) return false;
  if (!(placed.shortest_mm >= limits.min_joint_mm) || placed.joints > limits.max_joints)
    return false;
  if (!(placed.min_angle_deg >= limits.min_angle_deg &&
        placed.max_angle_deg <= limits.max_angle_deg))
    return false;
  if (!is_simple(placed.outline)) return false;
  return measure_min_width(placed.outline, placed.holes, std::max(limits.min_width_mm * 1.01, 1.0)) >=
         limits.min_width_mm;
}

/// The outline moved and grown, its glued edges pushed out so that the new lines find material to
/// cut, and trimmed anew. False when that fails.
bool make_moved(const TuneJob& job, const Placed& original, const MoveReach& reach,
                const UnitPoint& u, Placed& moved) {
  const auto at = [&](std::size_t i) { return 2 * u[i] - 1; };
  const Frame& frame = original.variant.frame;
  const bool on_axis = job.scheme.plane_stabiliser.size() > 1;
  const double tilt = on_axis ? 0 : reach.tilt_rad;  // an axis plane keeps its axis
  const Vec3 normal =
      (frame.normal + tilt * (at(0) * frame.x_axis + at(1) * frame.y_axis)).normalized();
  const double before = frame.origin.dot(frame.normal);
  const double distance =
      job.scheme.through_centre ? 0 : before + reach.distance * job.radius_mm * at(2);
  if (!job.scheme.through_centre && !(distance > 1e-3 * job.radius_mm)) return false;
  const Frame to = make_frame(normal, distance);
  const Eigen::Quaterniond lean = Eigen::Quaterniond::FromTwoVectors(frame.normal, normal);
  const Eigen::Rotation2Dd turn(reach.turn_rad * at(3));
  const bool folded = job.scheme.outline_fold() > 1;
  const Vec2 shift = folded ? Vec2(0, 0) : Vec2(reach.shift * job.radius_mm * Vec2(at(4), at(5)));
  const double growth = 1 + (at(6) < 0 ? -at(6) * reach.least_growth : at(6) * reach.most_growth);

  // Glued edges are pushed out by a flange; of a crossed flange less and less is left.
  const Polygon& outline = original.outline;
  std::vector<char> glued(outline.size(), 0);
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
    for (const MeetingLine& line : original.variant.lines)
      if (line.exists && std::abs(line.height_of(a)) < contact_band_mm &&
          std::abs(line.height_of(b)) < contact_band_mm)
        glued[i] = 1;
  }
  Polygon drawn;
  for (double flange = 0.08 * job.radius_mm; flange > 0.004 * job.radius_mm; flange /= 2) {
    drawn.clear();
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
      drawn.push_back(a);
      if (!glued[i] || (b - a).norm() < 0.02 * job.radius_mm) continue;
      const Vec2 along = (b - a).normalized(), out = flange * Vec2(along.y(), -along.x());
      // A little narrower than the edge, so that neighbours at a convex corner stay apart.
      drawn.push_back(a + out + 0.05 * flange * along);
      drawn.push_back(b + out - 0.05 * flange * along);
    }
    if (is_simple(drawn)) break;
  }
  if (!is_simple(drawn)) drawn = outline;
  const auto move = [&](const Vec2& p) {
    const Vec2 in_place = original.hub + growth * (turn * (p - original.hub)) + shift;
    const Vec3 offset = frame.to_space(in_place) - frame.origin;
    return to.to_plane(to.origin + lean * offset);
  };
  for (Vec2& p : drawn) p = move(p);
  moved.holes.clear();
  for (const Polygon& hole : original.holes) {
    moved.holes.push_back(hole);
    for (Vec2& p : moved.holes.back()) p = move(p);
  }
  std::vector<MeetingLine> lines;
  find_meeting_lines(job.scheme, to, lines);
  LabelledOutline labelled;
  labelled.assign(drawn);
  TrimOptions options;
  options.hub = moved.hub = move(original.hub);
  options.coplanar_gap = 0.03 * job.radius_mm;
  options.least_crossing = 1e-6;
  TrimWorkspace work;
  if (trim(job.scheme, to, lines, options, labelled, work) != TrimStatus::clean) return false;
  moved.outline = make_simplified(labelled.to_polygon(), 1e-6);
  if (moved.outline.size() < 3 || !contains(moved.outline, options.hub)) return false;
  for (const Polygon& hole : moved.holes)
    for (const Vec2& p : hole)
      if (!contains(moved.outline, p)) return false;
  measure_placed(job, to, moved);
  return true;
}

/// All structures worth a look: every class with joints kept, thinned to its longest contact or
/// dropped, while the rest still hangs together. Fewest joints first; at most `most`, and none with
/// fewer than `fewest` joints, which is known to be out of reach.
std::vector<KeptContacts> find_structures(const TuneJob& job, const Placed& placed, int fewest,
                                          std::size_t most) {
  const OrbitScheme& scheme = job.scheme;
  struct Class {
    std::size_t number;
    int contacts;
  };
  std::vector<Class> classes;
  for (std::size_t i = 0; i < scheme.pairs.size(); ++i) {
    const int contacts = static_cast<int>(find_class_joints(placed, scheme.pairs[i]).size());
    if (contacts > 0) classes.push_back({i, contacts});
  }
  // 3^10 states are 59,000: beyond ten classes only the dearest ten are decided on.
  std::stable_sort(classes.begin(), classes.end(), [&](const Class& a, const Class& b) {
    return scheme.pairs[a.number].pairs * a.contacts > scheme.pairs[b.number].pairs * b.contacts;
  });
  const std::size_t decided = std::min<std::size_t>(classes.size(), 10);
  std::vector<std::pair<int, KeptContacts>> found;
  KeptContacts structure(scheme.pairs.size(), -1);
  const auto visit = [&](const auto& self, std::size_t next, int joints) -> void {
    if (joints < fewest) return;
    if (next == decided) {
      std::vector<int> generators = scheme.outline_stabiliser;
      for (const Class& c : classes)
        if (structure[c.number] != 0) generators.push_back(scheme.pairs[c.number].element);
      if (static_cast<int>(make_generated_subgroup(*scheme.group, generators).size()) ==
          scheme.group->order())
        found.emplace_back(joints, structure);
      return;
    }
    const Class& c = classes[next];
    const int each = scheme.pairs[c.number].pairs;
    structure[c.number] = -1;
    self(self, next + 1, joints);
    if (c.contacts > 1) {
      structure[c.number] = 1;
      self(self, next + 1, joints - each * (c.contacts - 1));
    }
    structure[c.number] = 0;
    self(self, next + 1, joints - each * c.contacts);
    structure[c.number] = -1;
  };
  int all = 0;
  for (const Class& c : classes) all += scheme.pairs[c.number].pairs * c.contacts;
  visit(visit, 0, all);
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  if (found.size() > most) found.resize(most);
  std::vector<KeptContacts> structures;
  for (auto& [joints, kept] : found) structures.push_back(std::move(kept));
  return structures;
}

TuneJob make_tune_job(const Design& design, Placed& original) {
  if (design.orbits.size() != 1)
    throw std::invalid_argument(
        format("tune works on one panel type; this design has %zu", design.orbits.size()));
  const Orbit& orbit = design.orbits.front();
  const Frame& frame = orbit.panel.frame;
  const auto group = std::make_shared<const PointGroup>(make_point_group(design.symmetry));
  const double distance = frame.origin.dot(frame.normal);
  double reach = 1;
  for (const Vec2& p : orbit.panel.outline_mm) reach = std::max(reach, frame.to_space(p).norm());
  const bool through_centre = std::abs(distance) < 1e-6 * reach;
  const bool whole = static_cast<int>(orbit.copies.size()) == group->order();
  TuneJob job;
  const Vec3 normal = distance < 0 ? Vec3(-frame.normal) : frame.normal;
  job.scheme = make_orbit_scheme(group, normal.normalized(), through_centre,
                                 whole ? OnAxis::own_sector : OnAxis::symmetric_outline);
  bool same = job.scheme.panels() == static_cast<int>(orbit.copies.size());
  for (const Mat3& copy : orbit.copies)
    same = same && std::any_of(group->elements.begin(), group->elements.end(), [&](const Mat3& g) {
             return (g - copy).cwiseAbs().maxCoeff() < 1e-5;
           });
  if (!same)
    throw std::invalid_argument("the design's copies are not those that its symmetry " +
                                design.symmetry + " makes of its panel; tune needs them to be");

  const Frame own = make_frame(normal, std::abs(distance));
  const auto move = [&](const Polygon& polygon) {
    Polygon moved;
    for (const Vec2& p : polygon) moved.push_back(own.to_plane(frame.to_space(p)));
    return make_counter_clockwise(std::move(moved));
  };
  original.outline = move(orbit.panel.outline_mm);
  for (const Polygon& hole : orbit.panel.holes_mm) original.holes.push_back(move(hole));
  job.thickness_mm = design.thickness_mm;
  job.own_limits = job.limits = design.limits;
  // The hub: the axis of a symmetric outline, else the deepest point of a grid, so that pulling
  // back and trimming never lose the panel's body.
  if (job.scheme.outline_fold() == 1) original.hub = find_hub(original.outline);
  for (const Vec2& p : original.outline)
    job.radius_mm = std::max(job.radius_mm, (p - original.hub).norm());
  measure_placed(job, own, original);
  return job;
}

}  // namespace sixtyfold
