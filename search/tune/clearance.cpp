#include "search/tune/clearance.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/contact/pull_back.h"
#include "engine/part/scaled_pattern.h"
#include "engine/part/slab.h"
#include "engine/text.h"
#include "engine/tolerance.h"

namespace sixtyfold {
namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

/// Elements of the joints, each as often as it joins.
std::vector<int> find_joint_elements(const Placed& placed) {
  std::vector<int> elements;
  for (const PairJoint& joint : placed.variant.joints)
    if (joint.contact.length() >= least_joint_mm) elements.push_back(joint.element);
  return elements;
}

/// A cut through the panel's plane: at `point`, across `inwards`, and that much further in.
struct Retreat {
  Vec2 point = Vec2::Zero(), inwards = Vec2::UnitX();
  double by = 0;
  double leverage = 0;  ///< room won by a millimetre of it
};

/// How one of the two copies would give way; nothing when its boundary is not what is in the way.
/// `own` and `mate` in the coordinates of the panel that gives way.
std::optional<Retreat> find_retreat(const TuneJob& job, const Placed& placed, const Vec3& own,
                                    const Vec3& mate, double missing) {
  const Frame& frame = placed.variant.frame;
  const Vec3 away = own - mate;
  const double apart = away.norm();
  if (!(apart > 1e-6)) return std::nullopt;
  Retreat retreat;
  retreat.point = frame.to_plane(own);
  const Vec2 flat(away.dot(frame.x_axis) / apart, away.dot(frame.y_axis) / apart);
  retreat.leverage = flat.norm();
  if (!(retreat.leverage > 0.2)) return std::nullopt;
  retreat.inwards = flat / retreat.leverage;
  // A point inside is a face that an edge of the other copy comes near to.
  if (distance_to_boundary(placed.outline, retreat.point) > 2 * job.thickness_mm)
    return std::nullopt;
  retreat.by = missing / retreat.leverage;
  return retreat;
}

bool cut_back(const TuneJob& job, const Frame& frame, const Retreat& retreat, const Vec2& hub,
              Polygon& outline) {
  Polygon result = outline;
  for (const Eigen::Matrix2d& turn : find_own_turns(job.scheme, frame)) {
    PullBack wanted;
    wanted.line.side = turn * retreat.inwards;
    wanted.line.offset = wanted.line.side.dot(turn * retreat.point);
    wanted.line.exists = true;
    wanted.above = true;
    wanted.by = retreat.by;
    const double middle = wanted.line.position_of(turn * retreat.point);
    wanted.from = middle - job.thickness_mm;
    wanted.to = middle + job.thickness_mm;
    if (!pull_back(wanted, hub, result)) return false;
  }
  outline = make_simplified(result, 1e-3);
  return is_simple(outline);
}

/// One of the two copies gives way. False when neither can.
bool make_room(const TuneJob& job, const SlabPair& pair, Placed& placed) {
  const Mat3& turn = job.scheme.group->elements[index(job.scheme.copies[index(pair.copies[1])])];
  const double missing = std::max(0.0, job.thickness_mm - pair.distance_mm) + 0.25;
  const Vec3 points[2] = {pair.points_mm[0], pair.points_mm[1]};
  std::optional<Retreat> retreats[2];
  if (pair.tabs[0] < 0) retreats[0] = find_retreat(job, placed, points[0], points[1], missing);
  if (pair.tabs[1] < 0)
    retreats[1] = find_retreat(job, placed, turn.transpose() * points[1],
                               turn.transpose() * points[0], missing);
  const bool second_first =
      retreats[1] && (!retreats[0] || retreats[1]->leverage > retreats[0]->leverage);
  const std::vector<int> elements = find_joint_elements(placed);
  for (const int side : {second_first ? 1 : 0, second_first ? 0 : 1}) {
    if (!retreats[side]) continue;
    Placed tried = placed;
    if (!cut_back(job, placed.variant.frame, *retreats[side], placed.hub, tried.outline)) continue;
    measure_placed(job, placed.variant.frame, tried);
    if (find_joint_elements(tried) != elements || tried.crossing_mm > 0.5) continue;
    placed = std::move(tried);
    return true;
  }
  return false;
}

std::string describe(const TuneJob& job, const SlabPair& pair) {
  const char* what = pair.tabs[0] >= 0 || pair.tabs[1] >= 0 ? "a tab of one and the other" : "they";
  if (!(pair.distance_mm > 0))
    return format("copies %d and %d are not joined, and %s run into each other", pair.copies[0],
                  pair.copies[1], what);
  return format(
      "copies %d and %d are not joined, and %s come within %.1f mm of each other; at least "
      "the thickness, %.1f mm, is wanted",
      pair.copies[0], pair.copies[1], what, pair.distance_mm, job.thickness_mm);
}

}  // namespace

std::string mend_clearance(const TuneJob& job, const Design& original, Placed& placed) {
  constexpr int rounds = 16;
  for (int round = 0;; ++round) {
    const Design design = make_placed_design(job, original, placed);
    const SlabReport report =
        measure_slabs(design, make_finished(design, make_flat_options(design)));
    const auto is_joined = [&](const SlabPair& pair) {
      return std::any_of(design.joints.begin(), design.joints.end(), [&](const Joint& joint) {
        return std::minmax(joint.panels[0], joint.panels[1]) ==
               std::minmax(pair.copies[0], pair.copies[1]);
      });
    };
    std::string first;
    bool mended = false;
    for (const auto* pairs : {&report.overlaps, &report.too_close})
      for (const SlabPair& pair : *pairs) {
        if (pair.copies[0] != 0 || is_joined(pair)) continue;
        if (first.empty()) first = describe(job, pair);
        mended = (round < rounds && make_room(job, pair, placed)) || mended;
      }
    if (first.empty() || !mended) return first;
  }
}

}  // namespace sixtyfold
