#include "engine/part/panel_joints.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "engine/contact/rebuild.h"
#include "engine/contact/slot.h"
#include "engine/symmetry/point_group.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

/// Far enough from a line to be off its contact band.
constexpr double beside_mm = 2 * contact_band_mm;

Vec2 turn(const Vec2& p, double angle_rad) {
  return {std::cos(angle_rad) * p.x() - std::sin(angle_rad) * p.y(),
          std::sin(angle_rad) * p.x() + std::cos(angle_rad) * p.y()};
}

/// An edge segment in the part's own coordinates, known by its middle and length alone: two edges
/// of one part with the same middle are the same.
struct PartEdge {
  int orbit;
  Vec2 middle;
};

enum class Carries { self, mate, both };

/// Symmetries of an outline about its frame's origin that belong to the construction, too.
struct OwnFold {
  int fold = 0;                      ///< rotations; 0: not measured yet
  std::optional<double> mirror_rad;  ///< direction of a mirror line
};

Carries decide_carrier(const PartEdge& self, const PartEdge& mate, const OwnFold& own) {
  if (self.orbit != mate.orbit) return self.orbit < mate.orbit ? Carries::self : Carries::mate;
  // The representative of an edge under the outline's own symmetries: that with the least angle
  // from the mirror or the x-axis.
  const auto canonical = [&own](const Vec2& p) {
    if (own.fold == 1 && !own.mirror_rad) return p;
    const double step = 2 * pi / own.fold, start = own.mirror_rad.value_or(0);
    double angle = std::fmod(std::atan2(p.y(), p.x()) - start + 4 * pi, step);
    if (step - angle < 1e-7) angle = 0;
    if (own.mirror_rad) angle = std::min(angle, step - angle);
    return Vec2(p.norm() * std::cos(start + angle), p.norm() * std::sin(start + angle));
  };
  const Vec2 a = canonical(self.middle), b = canonical(mate.middle);
  if ((a - b).norm() < contact_band_mm) return Carries::both;
  if (std::abs(a.x() - b.x()) > contact_band_mm / 2)
    return a.x() < b.x() ? Carries::self : Carries::mate;
  return a.y() < b.y() ? Carries::self : Carries::mate;
}

OwnFold measure_own_fold(const Design& design, int orbit) {
  const Orbit& measured = design.orbits[static_cast<std::size_t>(orbit)];
  const Polygon& outline = measured.panel.outline_mm;
  OwnFold own{measure_outline_fold(outline, contact_band_mm), std::nullopt};
  // More elements of the group keep the panel than turn it in its plane.
  if (make_point_group(design.symmetry).order() >
      own.fold * static_cast<int>(measured.copies.size()))
    own.mirror_rad = find_mirror_line(outline, contact_band_mm);
  return own;
}

}  // namespace

std::optional<double> find_mirror_line(const Polygon& outline, double tolerance_mm) {
  const auto keeps = [&](double direction) {
    const Vec2 along(std::cos(direction), std::sin(direction));
    return std::all_of(outline.begin(), outline.end(), [&](const Vec2& p) {
      const Vec2 image = 2 * along.dot(p) * along - p;
      return std::any_of(outline.begin(), outline.end(),
                         [&](const Vec2& q) { return (q - image).norm() <= tolerance_mm; });
    });
  };
  // The farthest corner goes to one as far away.
  if (outline.empty()) return std::nullopt;
  const Vec2 corner = *std::max_element(
      outline.begin(), outline.end(),
      [](const Vec2& a, const Vec2& b) { return a.squaredNorm() < b.squaredNorm(); });
  for (const Vec2& p : outline) {
    if (std::abs(p.norm() - corner.norm()) > tolerance_mm) continue;
    const double direction = (std::atan2(p.y(), p.x()) + std::atan2(corner.y(), corner.x())) / 2;
    if (keeps(direction)) return direction;
  }
  return std::nullopt;
}

int measure_outline_fold(const Polygon& outline, double tolerance_mm) {
  const auto is_symmetric = [&](int k) {
    for (const Vec2& p : outline) {
      const Vec2 image = turn(p, 2 * pi / k);
      const bool hit = std::any_of(outline.begin(), outline.end(), [&](const Vec2& q) {
        return (q - image).norm() <= tolerance_mm;
      });
      if (!hit) return false;
    }
    return true;
  };
  for (int k = static_cast<int>(std::min<std::size_t>(60, outline.size())); k > 1; --k)
    if (is_symmetric(k)) return k;
  return 1;
}

namespace {

/// Sees the design's joints from one of its copies.
class JointViewer {
 public:
  JointViewer(const Design& design, int copy)
      : design_(design), placed_(find_placed_panels(design)), copy_(copy) {
    assert(0 <= copy && copy < static_cast<int>(placed_.size()));
  }
  bool has(const Joint& joint) const {
    return joint.panels[0] == copy_ || joint.panels[1] == copy_;
  }
  PanelJoint see(int number);

 private:
  /// One joint's line, and in the two planes the directions across it.
  struct Line {
    const PlacedPanel& mate;
    Vec3 middle, across_self, across_mate;
  };

  const PlacedPanel& self() const { return placed_[static_cast<std::size_t>(copy_)]; }
  int orbit_of(const PlacedPanel& panel) const;
  Vec3 to_own(const Vec3& v) const {
    const Frame& frame = self().frame;
    return {frame.x_axis.dot(v), frame.y_axis.dot(v), frame.normal.dot(v)};
  }
  void turn_to_material(PanelJoint& seen, Line& line) const;
  JointRole decide_role(const PanelJoint& seen, const Line& line);
  void see_edge(PanelJoint& seen, Line line);
  void see_tab(PanelJoint& seen, Line line) const;
  void see_seat(PanelJoint& seen, Line line) const;
  void see_slot(PanelJoint& seen, Line line) const;

  const Design& design_;
  const std::vector<PlacedPanel> placed_;
  const int copy_;
  OwnFold own_fold_;  ///< measured only when an edge joint needs it
};

int JointViewer::orbit_of(const PlacedPanel& panel) const {
  for (std::size_t i = 0; i < design_.orbits.size(); ++i)
    if (&design_.orbits[i].panel == panel.panel) return static_cast<int>(i);
  return 0;
}

/// `direction` or its opposite, whichever leads from the line into the panel.
Vec3 find_inward(const PlacedPanel& panel, const Vec3& middle, const Vec3& direction) {
  const Vec2 beside = panel.frame.to_plane(middle + beside_mm * direction);
  return contains(panel.panel->outline_mm, beside) ? direction : Vec3(-direction);
}

/// Own edges run with the material on the left.
void JointViewer::turn_to_material(PanelJoint& seen, Line& line) const {
  line.across_self = find_inward(self(), line.middle, line.across_self);
  const Vec2 inward = to_own(line.across_self).head<2>();
  if (cross(seen.to_mm - seen.from_mm, inward) < 0) std::swap(seen.from_mm, seen.to_mm);
}

/// Which of two edges that meet carries the tab.
JointRole JointViewer::decide_role(const PanelJoint& seen, const Line& line) {
  if (own_fold_.fold == 0) own_fold_ = measure_own_fold(design_, orbit_of(self()));
  const PartEdge edge{orbit_of(self()), (seen.from_mm + seen.to_mm) / 2};
  const PartEdge mate_edge{orbit_of(line.mate), line.mate.frame.to_plane(line.middle)};
  switch (decide_carrier(edge, mate_edge, own_fold_)) {
    case Carries::self:
      return JointRole::tab_edge;
    case Carries::mate:
      return JointRole::plain_edge;
    case Carries::both:
      break;
  }
  return JointRole::double_tab;
}

void JointViewer::see_edge(PanelJoint& seen, Line line) {
  turn_to_material(seen, line);
  seen.mate_side = to_own(find_inward(line.mate, line.middle, line.across_mate));
  seen.face = seen.mate_side.z() >= 0 ? 1 : -1;
  seen.role = decide_role(seen, line);
}

void JointViewer::see_tab(PanelJoint& seen, Line line) const {
  turn_to_material(seen, line);
  seen.role = JointRole::tab_edge;
  // The tab leaves the line against the material; it turns the less the nearer the mate's side is
  // to that direction.
  if (line.across_mate.dot(-line.across_self) < 0) line.across_mate = -line.across_mate;
  seen.mate_side = to_own(line.across_mate);
}

void JointViewer::see_seat(PanelJoint& seen, Line line) const {
  seen.role = JointRole::seat;
  const Vec3 material = find_inward(line.mate, line.middle, line.across_mate);
  seen.face = self().frame.normal.dot(material) >= 0 ? 1 : -1;
  if (line.across_self.dot(-material) < 0) line.across_self = -line.across_self;
  seen.mate_side = to_own(line.across_self);
}

void JointViewer::see_slot(PanelJoint& seen, Line line) const {
  seen.role = JointRole::slot;
  if (!opens_at(seen.from_mm, seen.to_mm, self().panel->outline_mm, beside_mm))
    std::swap(seen.from_mm, seen.to_mm);
  if (line.across_mate.dot(line.middle) < 0) line.across_mate = -line.across_mate;
  seen.mate_side = to_own(line.across_mate);
}

PanelJoint JointViewer::see(int number) {
  const Joint& joint = design_.joints[static_cast<std::size_t>(number)];
  const bool is_first = joint.panels[0] == copy_;
  PanelJoint seen;
  seen.mate = joint.panels[is_first ? 1 : 0];
  seen.joint = number;
  seen.kind = joint.kind;
  seen.angle_rad = to_radians(joint.angle_deg);
  seen.from_mm = self().frame.to_plane(joint.from_mm);
  seen.to_mm = self().frame.to_plane(joint.to_mm);
  const PlacedPanel& mate = placed_[static_cast<std::size_t>(seen.mate)];
  const Vec3 along = (joint.to_mm - joint.from_mm).normalized();
  const Line line{mate, (joint.from_mm + joint.to_mm) / 2,
                  self().frame.normal.cross(along).normalized(),
                  mate.frame.normal.cross(along).normalized()};
  if (joint.kind == JointKind::edge)
    see_edge(seen, line);
  else if (joint.kind == JointKind::slot)
    see_slot(seen, line);
  else if (is_first)
    see_tab(seen, line);
  else
    see_seat(seen, line);
  return seen;
}

}  // namespace

std::vector<PanelJoint> find_panel_joints(const Design& design, int copy) {
  JointViewer viewer(design, copy);
  std::vector<PanelJoint> own;
  for (std::size_t number = 0; number < design.joints.size(); ++number)
    if (viewer.has(design.joints[number])) own.push_back(viewer.see(static_cast<int>(number)));
  return own;
}

}  // namespace sixtyfold
