#include "engine/part/alike_slots.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace sixtyfold {

namespace {

constexpr double near_mm = 0.5;

/// q = matrix p + shift.
struct Isometry {
  Eigen::Matrix2d matrix;
  Vec2 shift;

  Vec2 operator()(const Vec2& p) const { return matrix * p + shift; }
};

/// The turn, or the glide, that carries a segment to another of the same length and direction of
/// running.
Isometry carry(const PanelJoint& from, const PanelJoint& to, bool mirrored) {
  const Vec2 a = from.to_mm - from.from_mm, b = to.to_mm - to.from_mm;
  const double turn = std::atan2(b.y(), b.x()) - (mirrored ? -1 : 1) * std::atan2(a.y(), a.x());
  Isometry isometry;
  const double c = std::cos(turn), s = std::sin(turn);
  isometry.matrix << c, mirrored ? s : -s, s, mirrored ? -c : c;
  isometry.shift = to.from_mm - isometry.matrix * from.from_mm;
  return isometry;
}

bool lies_on(const std::vector<const Polygon*>& loops, const Vec2& p) {
  return std::any_of(loops.begin(), loops.end(), [&](const Polygon* loop) {
    return distance_to_boundary(*loop, p) <= near_mm;
  });
}

bool is_image(const Isometry& move, const PanelJoint& joint, const PanelJoint& other) {
  if (joint.kind != other.kind || joint.role != other.role ||
      !(std::abs(joint.angle_rad - other.angle_rad) <= 1e-3))
    return false;
  const Vec2 from = move(joint.from_mm), to = move(joint.to_mm);
  const double same = std::max((from - other.from_mm).norm(), (to - other.to_mm).norm());
  const double swapped = std::max((from - other.to_mm).norm(), (to - other.from_mm).norm());
  // A slot has a mouth and a bottom.
  return std::min(same, joint.role == JointRole::slot ? same : swapped) <= near_mm;
}

bool keeps(const Isometry& move, const std::vector<const Polygon*>& loops,
           const std::vector<PanelJoint>& joints) {
  for (const PanelJoint& joint : joints)
    if (std::none_of(joints.begin(), joints.end(),
                     [&](const PanelJoint& other) { return is_image(move, joint, other); }))
      return false;
  for (const Polygon* loop : loops)
    for (std::size_t i = 0; i < loop->size(); ++i) {
      const Vec2 &p = (*loop)[i], &q = (*loop)[i + 1 == loop->size() ? 0 : i + 1];
      if (!lies_on(loops, move(p)) || !lies_on(loops, move(0.5 * (p + q)))) return false;
    }
  return true;
}

}  // namespace

std::vector<int> find_alike_slots(const Panel& panel, const std::vector<PanelJoint>& joints) {
  std::vector<int> alike(joints.size());
  std::iota(alike.begin(), alike.end(), 0);
  std::vector<const Polygon*> loops{&panel.outline_mm};
  for (const Polygon& hole : panel.holes_mm) loops.push_back(&hole);
  for (std::size_t i = 0; i < joints.size(); ++i) {
    if (joints[i].role != JointRole::slot) continue;
    for (std::size_t k = 0; k < i; ++k) {
      // What is like one of several that are alike is like the first of them.
      if (joints[k].role != JointRole::slot || alike[k] != static_cast<int>(k)) continue;
      const auto is_like = [&](bool mirrored) {
        const Isometry move = carry(joints[k], joints[i], mirrored);
        return is_image(move, joints[k], joints[i]) && keeps(move, loops, joints);
      };
      if (!is_like(false) && !is_like(true)) continue;
      alike[i] = static_cast<int>(k);
      break;
    }
  }
  return alike;
}

}  // namespace sixtyfold
