#include "search/tune/moves.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/contact/blunt.h"
#include "engine/contact/pull_back.h"
#include "engine/part/setback.h"
#include "engine/tolerance.h"
#include "search/tune/place_part.h"
#include "search/tune/steps.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Pulls the outline back from one contact; the images under its own rotations go with it.
bool drop_contact(const TuneJob& job, const Placed& placed, const PairJoint& joint,
                  Polygon& outline) {
  const PointGroup& group = *job.scheme.group;
  const MeetingLine& line = placed.variant.lines[index(joint.element)];
  const double theta = std::min(line.theta_rad(), pi - line.theta_rad());
  // Past the place where a cut edge would butt on the face, as far as a gap looks meant.
  const double by =
      cut_on_face_setback(job.thickness_mm, theta) + meant_gap * job.thickness_mm / std::sin(theta);
  const bool proper = group.elements[index(joint.element)].determinant() > 0;
  const Contact& contact = joint.contact;
  const auto pull = [&](bool first) -> std::optional<Polygon> {
    const int element = first ? joint.element : group.invert(joint.element);
    const bool turned = !first && proper;
    Polygon result = outline;
    for (const OwnSymmetry& own : job.scheme.own_symmetries) {
      const bool reversed = turned != own.mirrors;
      PullBack wanted;
      wanted.line = placed.variant.lines[index(group.multiply(own.element, element))];
      wanted.from = reversed ? -contact.to : contact.from;
      wanted.to = reversed ? -contact.from : contact.to;
      // Slotted panels go on past each other: what lies beyond, seen from the hub, goes.
      wanted.above = contact.kind == ContactKind::crossing ? wanted.line.height_of(placed.hub) > 0
                     : first                               ? contact.first_above
                                                           : contact.second_above;
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

/// Places where copies that are not joined come within the thickness of each other, shared corners
/// excepted: contacts of a band that wide. Where the original's were, within the gap that looks
/// meant, corners and all.
std::vector<PairJoint> find_near_contacts(const TuneJob& job, const Placed& placed) {
  std::vector<Polygon> loops{placed.outline};
  loops.insert(loops.end(), placed.holes.begin(), placed.holes.end());
  std::vector<PairJoint> near;
  SideSpans first, second;
  std::vector<Contact> contacts;
  for (std::size_t number = 0; number < job.scheme.pairs.size(); ++number) {
    const PairClass& pair = job.scheme.pairs[number];
    const MeetingLine& line = placed.variant.lines[index(pair.element)];
    if (!line.exists) continue;
    if (std::any_of(placed.variant.joints.begin(), placed.variant.joints.end(),
                    [&](const PairJoint& joint) {
                      return joint.element == pair.element &&
                             joint.contact.length() >= least_joint_mm;
                    }))
      continue;
    // A gap of the thickness across planes at this angle.
    const bool was_joined = job.joined[number] != 0;
    const double band = (was_joined ? meant_gap + 0.5 : 1.1) * job.thickness_mm / line.sine;
    if (!(band < 0.1 * job.radius_mm)) continue;
    find_spans(loops, line, band, first);
    if (first.empty()) continue;
    find_spans(loops, placed.variant.lines[index(pair.inverse)], band, second);
    contacts.clear();
    find_contacts(first, second, pair.proper, contact_band_mm, contacts);
    for (const Contact& contact : contacts) {
      // Where copies share a corner there is nothing to mend.
      const bool corner =
          !was_joined && contact.length() < least_joint_mm &&
          std::any_of(placed.outline.begin(), placed.outline.end(), [&](const Vec2& p) {
            return std::abs(line.height_of(p)) < contact_band_mm &&
                   contact.from - band < line.position_of(p) &&
                   line.position_of(p) < contact.to + band;
          });
      if (contact.kind != ContactKind::crossing && !corner)
        near.push_back({pair.element, pair.pairs, contact, 0});
    }
  }
  return near;
}

}  // namespace

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
  to.outline = make_simplified(to.outline, 1e-3);
  measure_placed(job, from.variant.frame, to);
  // Copies that come near without being joined get the clearance too.
  const std::vector<PairJoint> near = find_near_contacts(job, to);
  for (const PairJoint& contact : near)
    if (!drop_contact(job, to, contact, to.outline)) return false;
  // A cut that meets the old edge at a sharp angle leaves a tip: it is cut off square.
  LabelledOutline labelled, scratch;
  labelled.assign(to.outline);
  const bool blunted = blunt_tips(labelled, job.limits.min_width_mm, scratch) > 0;
  if (blunted) to.outline = labelled.to_polygon();
  if (!are_holes_inside(to.outline, to.holes)) return false;
  if (blunted || !near.empty()) measure_placed(job, from.variant.frame, to);
  return true;
}

bool widen_openings(const TuneJob& job, const Placed& original, Placed& placed) {
  if (find_least_opening(job, original, placed) >= meant_gap * job.thickness_mm - gap_doubt_mm)
    return true;
  const int joints = placed.joints;
  for (std::size_t i = 0; i < job.scheme.pairs.size(); ++i) {
    const PairClass& pair = job.scheme.pairs[i];
    const std::vector<PairJoint> now = find_class_joints(placed, pair);
    if (!job.joined[i] || (!now.empty() && now.front().contact.length() >= least_joint_mm))
      continue;
    for (const PairJoint& joint : find_class_joints(original, pair))
      if (measure_opening(job, original, placed, joint) <
              meant_gap * job.thickness_mm - gap_doubt_mm &&
          !drop_contact(job, placed, joint, placed.outline))
        return false;
  }
  if (!are_holes_inside(placed.outline, placed.holes)) return false;
  measure_placed(job, placed.variant.frame, placed);
  return placed.joints == joints &&
         find_least_opening(job, original, placed) >= meant_gap * job.thickness_mm - gap_doubt_mm;
}

Vec2 make_pulled(const TuneJob& job, const std::vector<Eigen::Matrix2d>& turns,
                 const std::vector<Vec2>& handles, const std::vector<Vec2>& shifts,
                 const Vec2& point) {
  const double width = 0.35 * job.radius_mm;
  Vec2 pulled = point;
  // The outline's own symmetries are about the origin.
  for (const Eigen::Matrix2d& turn : turns)
    for (std::size_t i = 0; i < handles.size(); ++i)
      pulled += std::exp(-(point - turn * handles[i]).squaredNorm() / (2 * width * width)) *
                (turn * shifts[i]);
  return pulled;
}

bool make_moved(const TuneJob& job, const DrawnPart& part, const MoveReach& reach,
                const UnitPoint& u, Placed& moved) {
  const Frame& frame = part.frame;
  const auto at = [&](std::size_t i) { return 2 * u[i] - 1; };
  const bool on_axis = job.scheme.plane_stabiliser.size() > 1;
  const double tilt = on_axis ? 0 : reach.tilt_rad;  // an axis plane keeps its axis
  Vec3 lean_by = tilt * (at(0) * frame.x_axis + at(1) * frame.y_axis);
  // Slots in planes along the main axis slide along it as long as the planes stay so.
  if (job.limits.joints_by == JointsBy::slot && std::abs(frame.normal.z()) < 1e-9) lean_by.z() = 0;
  const Vec3 normal = (frame.normal + lean_by).normalized();
  const double before = frame.origin.dot(frame.normal);
  const double distance =
      job.scheme.through_centre ? 0 : before + reach.distance * job.radius_mm * at(2);
  if (!job.scheme.through_centre && !(distance > 1e-3 * job.radius_mm)) return false;
  const Frame to = make_frame(normal, distance);
  const Eigen::Quaterniond lean = Eigen::Quaterniond::FromTwoVectors(frame.normal, normal);
  // What its own symmetries leave: no turn of a mirror image, no shift but along a mirror line.
  const std::vector<Eigen::Matrix2d> own_turns = find_own_turns(job.scheme, frame);
  const Eigen::Rotation2Dd turn(job.scheme.has_mirror() ? 0 : reach.turn_rad * at(3));
  const Vec2 free_shift = reach.shift * job.radius_mm * Vec2(at(4), at(5));
  Vec2 shift = Vec2::Zero();
  for (const Eigen::Matrix2d& own : own_turns)
    shift += own * free_shift / static_cast<double>(own_turns.size());
  const double growth = 1 + (at(6) < 0 ? -at(6) * reach.least_growth : at(6) * reach.most_growth);
  std::vector<Vec2> shifts;
  for (std::size_t i = 0; i < part.handles.size(); ++i)
    shifts.push_back(reach.handle * job.radius_mm * Vec2(at(7 + 2 * i), at(8 + 2 * i)));

  const auto move = [&](const Vec2& p) {
    const Vec2 pulled = make_pulled(job, own_turns, part.handles, shifts, p);
    const Vec2 in_place = part.hub + growth * (turn * (pulled - part.hub)) + shift;
    const Vec3 offset = frame.to_space(in_place) - frame.origin;
    return to.to_plane(to.origin + lean * offset);
  };
  Polygon drawn;
  for (const Vec2& p : part.outline) drawn.push_back(move(p));
  if (!is_simple(drawn)) return false;
  moved.holes.clear();
  for (const Polygon& hole : part.holes) {
    moved.holes.push_back(hole);
    for (Vec2& p : moved.holes.back()) p = move(p);
  }
  std::vector<MeetingLine> lines;
  find_meeting_lines(job.scheme, to, lines);
  TrimOptions options;
  options.hub = moved.hub = move(part.hub);
  if (!contains(drawn, options.hub)) return false;
  for (const SeatCut& cut : part.cuts) {
    const MeetingLine& line = lines[index(cut.element)];
    if (!line.exists || !pull_back({line, cut.from, cut.to, cut.above, 0}, options.hub, drawn))
      return false;
  }
  LabelledOutline labelled;
  labelled.assign(drawn);
  options.coplanar_gap = 0.03 * job.radius_mm;
  options.least_crossing = 1e-6;
  options.style = part.style;
  leave_slots(job.limits, options);
  TrimWorkspace work;
  if (trim(job.scheme, to, lines, options, labelled, work) != TrimStatus::clean) return false;
  moved.outline = make_simplified(labelled.to_polygon(), 1e-6);
  if (moved.outline.size() < 3 || !contains(moved.outline, options.hub)) return false;
  if (!are_holes_inside(moved.outline, moved.holes)) return false;
  measure_placed(job, to, moved);
  // Made smaller as a whole where sheet or diameter ask for it.
  const double scale = measure_room(job, moved) / job.room;
  if (!(scale > 0.5)) return false;
  if (scale < 1 - 1e-9) {
    for (Vec2& p : moved.outline) p *= scale;
    for (Polygon& hole : moved.holes)
      for (Vec2& p : hole) p *= scale;
    moved.hub *= scale;
    measure_placed(job, make_frame(normal, scale * distance), moved);
  }
  return true;
}

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
      int subgroup = scheme.outline_subgroup;
      for (const Class& c : classes)
        if (structure[c.number] != 0)
          subgroup = scheme.subgroups->add(subgroup, scheme.pairs[c.number].element);
      if (scheme.count_pieces(subgroup) == 1) found.emplace_back(joints, structure);
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

}  // namespace sixtyfold
