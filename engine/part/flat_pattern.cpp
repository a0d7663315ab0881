#include "engine/part/flat_pattern.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "engine/allowed.h"
#include "engine/contact/slot.h"
#include "engine/part/setback.h"
#include "engine/shape/boolean.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

Vec2 left_of(const Vec2& v) { return {-v.y(), v.x()}; }
Vec2 right_of(const Vec2& v) { return {v.y(), -v.x()}; }

bool wants_tab(JointRole role) {
  return role == JointRole::tab_edge || role == JointRole::double_tab;
}
bool is_edge(JointRole role) { return wants_tab(role) || role == JointRole::plain_edge; }

/// Interior angle at vertex i of a counter-clockwise polygon, in (0, 2 pi).
double interior_angle(const Polygon& polygon, std::size_t i) {
  const std::size_t n = polygon.size();
  const Vec2 in = polygon[i] - polygon[(i + n - 1) % n], out = polygon[(i + 1) % n] - polygon[i];
  return pi - std::atan2(cross(in, out), in.dot(out));
}

/// Does outline edge a -> b lie on the joint's line and share some of its length?
bool lies_on(const PanelJoint& joint, const Vec2& a, const Vec2& b) {
  const Vec2 along = (joint.to_mm - joint.from_mm).normalized();
  const double band = 2 * contact_band_mm;
  if (std::abs(cross(along, Vec2(a - joint.from_mm))) > band) return false;
  if (std::abs(cross(along, Vec2(b - joint.from_mm))) > band) return false;
  const double length = (joint.to_mm - joint.from_mm).norm();
  const double low = std::max(0.0, along.dot(a - joint.from_mm));
  const double high = std::min(length, along.dot(b - joint.from_mm));
  return high - low > std::min(1.0, 0.1 * length);
}

/// Part of an outline edge, in shares of its length, that is moved in by one setback.
struct Move {
  double from, to, setback;
};

/// The strip that a setback takes off outline edge i: a rectangle, longer at obtuse corners so that
/// the moved edge runs on to the next one, and at reflex corners so that the mate's end has room.
Polygon make_strip(const Polygon& outline, std::size_t i, const Move& move, double thickness) {
  const std::size_t n = outline.size();
  const Vec2 a = outline[i], b = outline[(i + 1) % n];
  const Vec2 along = (b - a).normalized(), in = left_of(along);
  const auto extension = [&](std::size_t vertex) {
    const double angle = interior_angle(outline, vertex);
    if (angle <= 0.5 * pi) return 0.0;
    if (angle >= pi) return angle > pi + 0.05 ? 0.5 * thickness : 0.0;
    return std::min(move.setback * std::tan(angle - 0.5 * pi), 4 * move.setback);
  };
  const Vec2 from = a + move.from * (b - a) - (move.from > 0 ? 0 : extension(i)) * along;
  const Vec2 to = a + move.to * (b - a) + (move.to < 1 ? 0 : extension((i + 1) % n)) * along;
  const double outside = 0.5;
  return {from - outside * in, to - outside * in, to + move.setback * in, from + move.setback * in};
}

Polygon make_disc(const Vec2& centre, double radius) {
  Polygon disc;
  for (int k = 0; k < 16; ++k)
    disc.emplace_back(centre + radius * Vec2(std::cos(k * pi / 8), std::sin(k * pi / 8)));
  return disc;
}

/// What is cut out of `outline` for a slot joint.
Polygon make_slot_of(const PanelJoint& joint, const Polygon& outline, const FlatOptions& options) {
  return make_slot(
      {joint.from_mm, joint.to_mm, options.thickness_mm, joint.angle_rad, options.slot_play_mm},
      outline);
}

}  // namespace

Polygon make_body(const PartToCut& part, const FlatOptions& options, double& lost) {
  const Polygon& outline = part.outline_mm;
  const std::vector<PanelJoint>& joints = part.joints;
  const std::vector<TabShape>& shapes = part.shapes;
  const std::size_t n = outline.size();
  PolygonSet cuts = part.reliefs_mm;
  std::vector<std::vector<Move>> moves(n);  // of each outline edge
  for (const PanelJoint& joint : joints) {
    if (!is_edge(joint.role)) continue;
    const double setback =
        measure_setback(joint, shapes[static_cast<std::size_t>(&joint - joints.data())], options);
    for (std::size_t i = 0; i < n; ++i) {
      const Vec2 a = outline[i], b = outline[(i + 1) % n];
      if (!lies_on(joint, a, b)) continue;
      const double square = (b - a).squaredNorm();
      moves[i].push_back({(joint.from_mm - a).dot(b - a) / square,
                          (joint.to_mm - a).dot(b - a) / square, setback});
    }
  }
  for (std::size_t i = 0; i < n; ++i) {
    // Several joints share the edge half-way between them; a lone one has it all.
    std::sort(moves[i].begin(), moves[i].end(),
              [](const Move& a, const Move& b) { return a.from < b.from; });
    for (std::size_t k = 0; k < moves[i].size(); ++k) {
      Move move = moves[i][k];
      move.from = k == 0 ? 0 : (moves[i][k - 1].to + moves[i][k].from) / 2;
      move.to = k + 1 == moves[i].size() ? 1 : (moves[i][k].to + moves[i][k + 1].from) / 2;
      if (move.setback > 0) cuts.push_back(make_strip(outline, i, move, options.thickness_mm));
    }
  }
  for (std::size_t i = 0; i < n && options.relief() > 0; ++i) {
    // Where two joint edges meet, or a joint of another edge or of the face ends, copies share a
    // point.
    const Vec2 corner = outline[i];
    int meeting =
        static_cast<int>(!moves[i].empty()) + static_cast<int>(!moves[(i + n - 1) % n].empty());
    if (meeting > 0)
      for (const PanelJoint& joint : joints)
        if (!is_edge(joint.role) && std::min((joint.from_mm - corner).norm(),
                                             (joint.to_mm - corner).norm()) < 2 * contact_band_mm)
          ++meeting;
    if (meeting > 1 && std::abs(interior_angle(outline, i) - pi) > 0.05)
      cuts.push_back(make_disc(corner, options.relief()));
  }
  for (const PanelJoint& joint : joints)
    if (joint.role == JointRole::slot) cuts.push_back(make_slot_of(joint, outline, options));
  // The discs are tiny steps in the outline only where the setbacks leave anything of them.
  return take_largest(make_difference({outline}, cuts), lost);
}

Polygon make_tab_outline(const Vec2& fold_from, const Vec2& fold_to, const TabShape& shape) {
  const Vec2 along = (fold_to - fold_from).normalized(), out = right_of(along);
  // Counter-clockwise with the fold first: the tab lies to the right of from -> to, so start at to.
  return {fold_to, fold_from, fold_from + shape.from_cut_mm * along + shape.depth_mm * out,
          fold_to - shape.to_cut_mm * along + shape.depth_mm * out};
}

void place_fold(const PanelJoint& joint, const TabShape& shape, const FlatOptions& options,
                Vec2& from, Vec2& to) {
  const Vec2 along = (joint.to_mm - joint.from_mm).normalized();
  const double setback = measure_setback(joint, shape, options);
  from = joint.from_mm + shape.from_inset_mm * along + setback * left_of(along);
  to = joint.to_mm - shape.to_inset_mm * along + setback * left_of(along);
}

std::string FlatOptions::find_fault() const {
  for (const std::string& fault :
       {allowed::thickness.find_fault(thickness_mm), allowed::tab_depth.find_fault(tab_depth_mm),
        Allowed{"the shallowest tab", 0.01, tab_depth_mm, "mm"}.find_fault(least_tab_depth_mm),
        Allowed{"the shortest edge of a tab", 1, 300, "mm"}.find_fault(least_tab_edge_mm),
        Allowed{"the fold allowance", -thickness_mm / 2, thickness_mm / 2, "mm"}.find_fault(
            fold_allowance_mm),
        Allowed{"the gap beside a tab", 0, 1e6, "mm"}.find_fault(gap_mm),
        allowed::slot_play.find_fault(slot_play_mm),
        Allowed{"the relief of a corner", -1e6, 1e6, "mm"}.find_fault(relief_mm)})
    if (!fault.empty()) return fault;
  return "";
}

double measure_fold(const PanelJoint& joint, bool far_side) {
  const double near = joint.role == JointRole::double_tab ? 0.5 * joint.angle_rad
                      : joint.kind == JointKind::edge     ? pi - joint.angle_rad
                                                          : joint.angle_rad;
  return far_side ? pi - near : near;
}

double measure_setback(const PanelJoint& joint, const TabShape& shape, const FlatOptions& options) {
  const double t = options.thickness_mm, angle = joint.angle_rad;
  const bool has_tab = wants_tab(joint.role) && shape.depth_mm > 0;
  const double shift =
      has_tab ? hinge_shift(options.fold_allowance_mm, measure_fold(joint, shape.far_side)) : 0;
  switch (joint.role) {
    case JointRole::tab_edge:
      if (has_tab) return fold_on_face_setback(t, angle) - shift;
      return joint.kind == JointKind::edge ? edge_to_edge_setback(t, angle)
                                           : cut_on_face_setback(t, angle);
    case JointRole::double_tab:
      return has_tab ? fold_in_bisector_setback(t, angle) - shift : edge_to_edge_setback(t, angle);
    case JointRole::plain_edge:
      // The mate's body ends on this panel's inner face, so this edge may run up to the line; it is
      // cut on the bisecting plane all the same, so that a mate without a tab finds room.
      return edge_to_edge_setback(t, angle);
    case JointRole::seat:
    case JointRole::slot:
      return 0;
  }
  return 0;
}

TabShape make_plain_tab(const PanelJoint& joint, const FlatOptions& options) {
  TabShape shape;
  const double length = (joint.to_mm - joint.from_mm).norm();
  const double depth = std::min(options.tab_depth_mm, 0.5 * (length - options.least_tab_edge_mm));
  if (!wants_tab(joint.role) || !(depth >= options.least_tab_depth_mm)) return shape;
  shape.depth_mm = shape.from_cut_mm = shape.to_cut_mm = depth;
  return shape;
}

TabReach measure_tab_reach(const PanelJoint& joint, const FlatOptions& options) {
  TabReach reach;
  const Vec2 along = (joint.to_mm - joint.from_mm).normalized();
  const TabShape shape = make_plain_tab(joint, options);
  if (shape.depth_mm > 0)
    reach.length_mm = std::max(0.0, shape.depth_mm - measure_setback(joint, shape, options));
  const Vec2 out = reach.length_mm * right_of(along);
  // A tab fitted later is no deeper, and its ends leave the joint's ends at 45 degrees or less from
  // behind the line, so they stay inside the lines from the joint's ends to these corners.
  const double cut = reach.length_mm > 0 ? shape.depth_mm : 0;
  reach.corners_mm[0] = joint.from_mm + cut * along + out;
  reach.corners_mm[1] = joint.to_mm - cut * along + out;
  return reach;
}

FlatPattern make_flat_pattern(const PartToCut& part, const FlatOptions& options) {
  if (const std::string fault = options.find_fault(); !fault.empty())
    throw std::invalid_argument(fault);
  FlatPattern pattern;
  const std::vector<PanelJoint>& joints = part.joints;
  pattern.body_mm = make_body(part, options, pattern.lost_area_mm2);
  pattern.holes_mm = part.holes_mm;
  PolygonSet parts{pattern.body_mm};
  for (std::size_t j = 0; j < joints.size(); ++j) {
    const PanelJoint& joint = joints[j];
    const int number = static_cast<int>(j);
    if (joint.role == JointRole::seat || joint.role == JointRole::plain_edge) {
      // A tab lies on the face turned to the mate's body; at an edge that is where the mate rises.
      pattern.seats.push_back({number, joint.mate, joint.from_mm, joint.to_mm, joint.face, {}});
    }
    if (joint.role == JointRole::slot) {
      const Polygon outline = make_slot_of(joint, part.outline_mm, options);
      pattern.slots.push_back({number, joint.mate, outline, (outline[0] - outline[1]).norm(),
                               ((joint.to_mm - joint.from_mm).norm() + options.slot_play_mm) / 2});
    }
    if (!wants_tab(joint.role)) continue;
    const TabShape& shape = part.shapes[j];
    if (!(shape.depth_mm > 0)) {
      pattern.joints_without_tab.push_back(number);
      continue;
    }
    Tab tab;
    tab.joint = number;
    tab.mate = joint.mate;
    place_fold(joint, shape, options, tab.fold_from_mm, tab.fold_to_mm);
    tab.outline_mm = make_tab_outline(tab.fold_from_mm, tab.fold_to_mm, shape);
    tab.depth_mm = shape.depth_mm;
    const Vec2 along = (joint.to_mm - joint.from_mm).normalized();
    const Vec3 out(along.y(), -along.x(), 0);
    if (joint.role ==
        JointRole::double_tab)  // outer side of the bisecting plane, or the inner side
      tab.direction =
          (shape.far_side ? Vec3(joint.mate_side - out) : Vec3(out - joint.mate_side)).normalized();
    else
      tab.direction = shape.far_side ? Vec3(-joint.mate_side) : joint.mate_side;
    tab.fold_rad = std::acos(std::clamp(out.dot(tab.direction), -1.0, 1.0));
    tab.fold_side = tab.direction.z() >= 0 ? 1 : -1;
    pattern.tabs.push_back(tab);
    // Joined a hair deep, so that body and tab share an area and not only a line; from a fold
    // outside the outline to the outline.
    Polygon joined = tab.outline_mm;
    const Vec2 in =
        (0.02 + std::max(0.0, -measure_setback(joint, shape, options))) * left_of(along);
    joined.insert(joined.begin() + 1, {tab.fold_to_mm + in, tab.fold_from_mm + in});
    parts.push_back(joined);
  }
  double loose = 0;
  const PolygonSet whole = make_union(parts);
  pattern.outline_mm = make_simplified(take_largest(whole, loose), 0.01);
  return pattern;
}

}  // namespace sixtyfold
