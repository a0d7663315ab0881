#include "search/tune/moves.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

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

namespace {

/// From 0 .. 1 to -1 .. 1, at rest in the middle.
double from_rest(const UnitPoint& u, std::size_t i) { return 2 * u[i] - 1; }

struct Plane {
  Vec3 normal;
  double distance;
  Frame frame;
};

/// Where the part's plane goes. Nothing when it would come too near the centre.
std::optional<Plane> find_moved_plane(const TuneJob& job, const Frame& frame,
                                      const MoveReach& reach, const UnitPoint& u) {
  const bool on_axis = job.scheme.plane_stabiliser.size() > 1;
  const double tilt = on_axis ? 0 : reach.tilt_rad;  // an axis plane keeps its axis
  Vec3 lean_by = tilt * (from_rest(u, 0) * frame.x_axis + from_rest(u, 1) * frame.y_axis);
  // Slots in planes along the main axis slide along it as long as the planes stay so.
  if (job.limits.joints_by == JointsBy::slot && std::abs(frame.normal.z()) < 1e-9) lean_by.z() = 0;
  const Vec3 normal = (frame.normal + lean_by).normalized();
  if (job.scheme.through_centre) return Plane{normal, 0, make_frame(normal, 0)};
  const double distance =
      frame.origin.dot(frame.normal) + reach.distance * job.radius_mm * from_rest(u, 2);
  if (!(distance > 1e-3 * job.radius_mm)) return std::nullopt;
  return Plane{normal, distance, make_frame(normal, distance)};
}

/// Takes the points of a part from its plane to where they come to lie in another one.
class PartMotion {
 public:
  PartMotion(const TuneJob& job, const DrawnPart& part, const MoveReach& reach, const UnitPoint& u,
             const Plane& to)
      : job_(job),
        part_(part),
        to_(to.frame),
        lean_(Eigen::Quaterniond::FromTwoVectors(part.frame.normal, to.normal)),
        own_turns_(find_own_turns(job.scheme, part.frame)),
        turn_(job.scheme.has_mirror() ? 0 : reach.turn_rad * from_rest(u, 3)),
        growth_(1 + (from_rest(u, 6) < 0 ? -from_rest(u, 6) * reach.least_growth
                                         : from_rest(u, 6) * reach.most_growth)) {
    // What its own symmetries leave: no turn of a mirror image, no shift but along a mirror line.
    const Vec2 free_shift = reach.shift * job.radius_mm * Vec2(from_rest(u, 4), from_rest(u, 5));
    for (const Eigen::Matrix2d& own : own_turns_)
      shift_ += own * free_shift / static_cast<double>(own_turns_.size());
    for (std::size_t i = 0; i < part.handles.size(); ++i)
      handle_shifts_.push_back(reach.handle * job.radius_mm *
                               Vec2(from_rest(u, 7 + 2 * i), from_rest(u, 8 + 2 * i)));
  }

  Vec2 operator()(const Vec2& p) const {
    const Vec2 pulled = make_pulled(job_, own_turns_, part_.handles, handle_shifts_, p);
    const Vec2 in_place = part_.hub + growth_ * (turn_ * (pulled - part_.hub)) + shift_;
    const Vec3 offset = part_.frame.to_space(in_place) - part_.frame.origin;
    return to_.to_plane(to_.origin + lean_ * offset);
  }
  Polygon operator()(Polygon polygon) const {
    for (Vec2& p : polygon) p = (*this)(p);
    return polygon;
  }

 private:
  const TuneJob& job_;
  const DrawnPart& part_;
  const Frame& to_;
  const Eigen::Quaterniond lean_;
  const std::vector<Eigen::Matrix2d> own_turns_;
  const Eigen::Rotation2Dd turn_;
  const double growth_;
  Vec2 shift_ = Vec2::Zero();
  std::vector<Vec2> handle_shifts_;
};

/// Cuts the drawn outline at its seats and where copies meet. False when the hub is in the way or
/// something is left over.
bool trim_moved(const TuneJob& job, const DrawnPart& part, const Frame& to, const Vec2& hub,
                Polygon drawn, Polygon& trimmed) {
  std::vector<MeetingLine> lines;
  find_meeting_lines(job.scheme, to, lines);
  for (const SeatCut& cut : part.cuts) {
    const MeetingLine& line = lines[index(cut.element)];
    if (!line.exists || !pull_back({line, cut.from, cut.to, cut.above, 0}, hub, drawn))
      return false;
  }
  TrimOptions options;
  options.hub = hub;
  options.coplanar_gap = 0.03 * job.radius_mm;
  options.least_crossing = 1e-6;
  options.style = part.style;
  leave_slots(job.limits, options);
  LabelledOutline labelled;
  labelled.assign(drawn);
  TrimWorkspace work;
  if (trim(job.scheme, to, lines, options, labelled, work) != TrimStatus::clean) return false;
  trimmed = make_simplified(labelled.to_polygon(), 1e-6);
  return trimmed.size() >= 3 && contains(trimmed, hub);
}

/// Made smaller as a whole where sheet or diameter ask for it. False beyond a half.
bool shrink_to_room(const TuneJob& job, const Plane& to, Placed& moved) {
  const double scale = measure_room(job, moved) / job.room;
  if (!(scale > 0.5)) return false;
  if (!(scale < 1 - 1e-9)) return true;
  for (Vec2& p : moved.outline) p *= scale;
  for (Polygon& hole : moved.holes)
    for (Vec2& p : hole) p *= scale;
  moved.hub *= scale;
  measure_placed(job, make_frame(to.normal, scale * to.distance), moved);
  return true;
}

}  // namespace

bool make_moved(const TuneJob& job, const DrawnPart& part, const MoveReach& reach,
                const UnitPoint& u, Placed& moved) {
  const std::optional<Plane> to = find_moved_plane(job, part.frame, reach, u);
  if (!to) return false;
  const PartMotion move(job, part, reach, u, *to);
  Polygon drawn = move(part.outline);
  if (!is_simple(drawn)) return false;
  moved.holes.clear();
  for (const Polygon& hole : part.holes) moved.holes.push_back(move(hole));
  moved.hub = move(part.hub);
  if (!contains(drawn, moved.hub)) return false;
  if (!trim_moved(job, part, to->frame, moved.hub, std::move(drawn), moved.outline)) return false;
  if (!are_holes_inside(moved.outline, moved.holes)) return false;
  measure_placed(job, to->frame, moved);
  return shrink_to_room(job, *to, moved);
}

}  // namespace sixtyfold
