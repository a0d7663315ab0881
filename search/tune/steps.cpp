#include "search/tune/steps.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "engine/shape/segment.h"
#include "engine/text.h"
#include "engine/tolerance.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Of a point in space from the mid-surface of the placed panel.
double measure_distance(const Placed& placed, const Vec3& point) {
  const Vec2 foot = placed.variant.frame.to_plane(point);
  const double height = placed.variant.frame.height_of(point);
  const double aside =
      contains(placed.outline, foot) ? 0 : distance_to_boundary(placed.outline, foot);
  return std::hypot(height, aside);
}

/// Whether a point of the edge may lie in the ball and nearer than that to the frame's plane.
bool may_come_nearer(const std::array<Vec3, 2>& edge, const Frame& frame, const Vec3& centre,
                     double radius, double nearest) {
  constexpr double doubt_mm = 1e-6;
  const double from = frame.height_of(edge[0]), to = frame.height_of(edge[1]);
  const double height = from * to <= 0 ? 0 : std::min(std::abs(from), std::abs(to));
  if (height > nearest + doubt_mm) return false;
  const double share = find_nearest_share(edge[0], edge[1], centre);
  return (edge[0] + share * (edge[1] - edge[0]) - centre).norm() <= radius + doubt_mm;
}

/// Least distance of the panel from the boundary of the one that `turn` carries it to, within the
/// ball.
double measure_from_boundary(const Placed& placed, const Mat3& turn, const Vec3& centre,
                             double radius) {
  double nearest = std::numeric_limits<double>::infinity();
  const double step = std::max(1.0, radius / 50);
  const Polygon& outline = placed.outline;
  const Frame& frame = placed.variant.frame;
  const auto carry = [&](const Vec2& point) -> Vec3 { return turn * frame.to_space(point); };
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vec2 &a = outline[i], &b = outline[(i + 1) % outline.size()];
    if (!may_come_nearer({carry(a), carry(b)}, frame, centre, radius, nearest)) continue;
    const int parts = std::max(1, static_cast<int>(std::ceil((b - a).norm() / step)));
    for (int k = 0; k < parts; ++k) {
      const Vec3 point = carry(a + (b - a) * k / parts);
      if ((point - centre).norm() <= radius && std::abs(frame.height_of(point)) < nearest)
        nearest = std::min(nearest, measure_distance(placed, point));
    }
  }
  return nearest;
}

std::vector<PairJoint> find_long_joints(const Placed& placed, const PairClass& pair) {
  std::vector<PairJoint> found = find_class_joints(placed, pair);
  std::erase_if(found, [](const PairJoint& j) { return j.contact.length() < least_joint_mm; });
  return found;
}

std::string describe_part_of(const TuneJob& job, const PairClass& pair,
                             const std::vector<PairJoint>& joints, std::size_t from) {
  return describe_class(job, pair,
                        {joints.begin() + static_cast<std::ptrdiff_t>(from), joints.end()});
}

bool leans(const Placed& placed, const PairClass& pair, ContactKind kind) {
  const std::vector<PairJoint> joints = find_class_joints(placed, pair);
  return !joints.empty() && joints.front().contact.kind == kind;
}

}  // namespace

double measure_opening(const TuneJob& job, const Placed& before, const Placed& after,
                       const PairJoint& joint) {
  constexpr double middle = 0.7;  // of the joint
  const MeetingLine& line = before.variant.lines[index(joint.element)];
  const Vec3 centre =
      before.variant.frame.to_space(line.point_at((joint.contact.from + joint.contact.to) / 2));
  const double radius = middle * joint.contact.length() / 2;
  const Mat3& turn = job.scheme.group->elements[index(joint.element)];
  const double apart =
      std::min(measure_from_boundary(after, turn, centre, radius),
               measure_from_boundary(after, turn.transpose(), turn.transpose() * centre, radius));
  // Half of the one board, and the near corner of the other's square edge.
  return std::max(0.0, apart - job.thickness_mm / 2 * (1 + std::abs(line.cosine)));
}

double find_least_opening(const TuneJob& job, const Placed& before, const Placed& after) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < job.scheme.pairs.size(); ++i) {
    const PairClass& pair = job.scheme.pairs[i];
    if (!job.joined[i] || !find_long_joints(after, pair).empty()) continue;
    for (const PairJoint& joint : find_long_joints(before, pair))
      least = std::min(least, measure_opening(job, before, after, joint));
  }
  return least;
}

std::string describe_class(const TuneJob& job, const PairClass& pair,
                           const std::vector<PairJoint>& joints) {
  const int order = find_element_order(*job.scheme.group, pair.element);
  double length = 0;
  for (const PairJoint& joint : joints) length = std::max(length, joint.contact.length());
  return format("%d joints of %.0f mm with the copies turned by %s of a full turn (order %d)",
                pair.pairs * static_cast<int>(joints.size()), length,
                order == 2 ? "half" : format("1/%d or a multiple", order).c_str(), order);
}

std::vector<std::string> describe_steps(const TuneJob& job, const Placed& before,
                                        const Placed& after, const LookOverlap& look) {
  std::vector<std::string> steps;
  for (const PairClass& pair : job.scheme.pairs) {
    const std::vector<PairJoint> old = find_long_joints(before, pair),
                                 now = find_long_joints(after, pair);
    if (now.size() < old.size()) {
      std::string step = "Gone: " + describe_part_of(job, pair, old, now.size());
      double opening = std::numeric_limits<double>::infinity();
      for (std::size_t k = 0; now.empty() && k < old.size(); ++k)
        opening = std::min(opening, measure_opening(job, before, after, old[k]));
      if (std::isfinite(opening))
        step += format("; an opening of %.0f mm is left between the boards", opening);
      steps.push_back(step + ".");
    }
    if (now.size() > old.size())
      steps.push_back("New: " + describe_part_of(job, pair, now, old.size()) + ".");
  }
  for (const PairClass& pair : job.scheme.pairs)
    if (pair.element != pair.inverse)
      for (const auto& [was, is] : {std::pair{ContactKind::edge_first, ContactKind::edge_second},
                                    std::pair{ContactKind::edge_second, ContactKind::edge_first}})
        if (leans(before, pair, was) && leans(after, pair, is))
          steps.push_back("Now the other copy of each pair is cut back: " +
                          describe_class(job, pair, find_class_joints(after, pair)) + ".");
  if (look.plane_turn_deg > 0.05 || std::abs(look.distance_change) > 5e-4)
    steps.push_back(
        format("The panel's plane is turned by %.1f degrees and moved by %.1f %% of the radius.",
               look.plane_turn_deg, 100 * look.distance_change));
  steps.push_back(format("The outline has %.0f %% of its old area.",
                         100 * measure_area(after.outline) / measure_area(before.outline)));
  return steps;
}

std::vector<std::string> describe_possible_steps(const TuneJob& job, const Placed& original) {
  std::vector<std::string> notes;
  for (const PairClass& pair : job.scheme.pairs) {
    const std::vector<PairJoint> joints = find_class_joints(original, pair);
    if (joints.empty()) continue;
    int rest = job.scheme.outline_subgroup;
    for (const PairJoint& joint : original.variant.joints)
      if (joint.element != pair.element && joint.contact.length() >= least_joint_mm)
        rest = job.scheme.subgroups->add(rest, joint.element);
    const int pieces = job.scheme.count_pieces(rest);
    notes.push_back(describe_class(job, pair, joints) +
                    (pieces == 1 ? ": could be dropped without it falling apart."
                                 : format(": without them it falls into %d pieces.", pieces)));
  }
  return notes;
}

}  // namespace sixtyfold
