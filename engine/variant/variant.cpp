#include "engine/variant/variant.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "engine/appeal/proportions.h"
#include "engine/contact/blunt.h"
#include "engine/contact/slot.h"
#include "engine/shape/boolean.h"
#include "engine/shape/second_moment.h"
#include "engine/shape/width.h"
#include "engine/stock/stock_use.h"
#include "engine/variant/body.h"
#include "engine/variant/own_lines.h"
#include "engine/variant/structure.h"
#include "engine/variant/windows.h"

namespace sixtyfold {

namespace {

std::size_t index(int i) { return static_cast<std::size_t>(i); }

bool is_finite(const Polygon& polygon) {
  for (const Vec2& p : polygon)
    if (!(std::isfinite(p.x()) && std::isfinite(p.y()))) return false;
  return true;
}

JointKind kind_of(ContactKind kind) {
  return kind == ContactKind::edges      ? JointKind::edge
         : kind == ContactKind::crossing ? JointKind::slot
                                         : JointKind::tab;
}

void find_joints(const OrbitScheme& scheme, const Limits& limits, VariantWorkspace& work,
                 Variant& variant) {
  variant.joints.clear();
  // A joint shorter than 5 mm is a touch. The scale is not known yet, so everything longer than a
  // rounding error is collected here and told apart later.
  const double least = 1e-9;
  const bool slots = limits.joints_by != JointsBy::tab;
  // Only edges made by a cut can be glued, and most lines have made none.
  const auto has_edge = [&](int element) {
    return variant.outline.may_have_line(scheme.line_of[index(element)]);
  };
  for (const PairClass& pair : scheme.pairs) {
    if (!slots && !has_edge(pair.element) && !has_edge(pair.inverse)) continue;
    find_pair_contacts(scheme, variant.lines, pair, variant.outline, least, work.trim);
    for (const Contact& contact : work.trim.contacts) {
      if (contact.kind == ContactKind::crossing && !slots) continue;
      PairJoint joint;
      joint.element = pair.element;
      joint.pairs = pair.pairs;
      joint.contact = contact;
      joint.angle_rad =
          measure_contact_angle(contact, variant.lines[index(pair.element)].theta_rad());
      variant.joints.push_back(joint);
    }
  }
}

/// Index of the subgroup that the outline's stabiliser and the joints' elements generate.
int count_pieces(const OrbitScheme& scheme, const Variant& variant, double least_length) {
  int subgroup = scheme.outline_subgroup;
  for (const PairJoint& joint : variant.joints)
    if (joint.contact.length() >= least_length)
      subgroup = scheme.subgroups->add(subgroup, joint.element);
  return scheme.count_pieces(subgroup);
}

/// Largest s for which the points s p + offset span at most `length` along `direction`: Newton's
/// method from above on a convex piecewise linear function, so it ends in a few exact steps.
double find_largest_scale(const std::vector<Vec2>& points, const std::vector<Vec2>& offsets,
                          const Vec2& direction, double length) {
  double scale = std::numeric_limits<double>::infinity();
  for (int round = 0; round < 64; ++round) {
    double high = -std::numeric_limits<double>::infinity(), low = -high;
    double high_slope = 0, low_slope = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const double slope = points[i].dot(direction), fixed = offsets[i].dot(direction);
      const double at = round == 0 ? slope : scale * slope + fixed;
      if (at > high) high = at, high_slope = slope;
      if (at < low) low = at, low_slope = slope;
    }
    const double slope = high_slope - low_slope;
    if (!(slope > 0)) return 0;
    if (round == 0) {
      scale = length / slope;
      continue;
    }
    const double step = (high - low - length) / slope;
    if (!(step > 1e-12 * scale)) break;
    scale -= step;
    if (!(scale > 0)) return 0;
  }
  return scale;
}

/// Room on the sheet along and across the part's long axis.
struct Room {
  double length_mm, width_mm;
};

Room find_room(const Limits& limits) {
  Room room{limits.sheet_height_mm - 2 * limits.edge_margin_mm,
            limits.sheet_width_mm - 2 * limits.edge_margin_mm};
  if (limits.grain == Grain::along_short_side) std::swap(room.length_mm, room.width_mm);
  return room;
}

/// Beyond twice the wanted width nobody asks for more.
double find_enough_width(const Limits& limits) { return std::max(2 * limits.min_width_mm, 1.0); }

double measure_radius(const Frame& frame, const LabelledOutline& outline) {
  double square = 0;
  for (std::size_t i = 0; i < outline.size(); ++i)
    square = std::max(square, outline.vertex(i).squaredNorm());
  return std::sqrt(square + frame.origin.squaredNorm());
}

/// A scale that the part surely has room for, whatever its tabs turn out to be; at least a tenth
/// of what it would have without tabs.
double estimate_scale(const Limits& limits, const Rectangle& box, double radius) {
  const Room room = find_room(limits);
  const auto fit = [&](double available, double taken) {
    return std::max(available - 2 * limits.tab_depth_mm, available / 10) / taken;
  };
  return std::min({fit(room.length_mm, box.long_mm), fit(room.width_mm, box.short_mm),
                   limits.max_diameter_mm / (2 * radius)});
}

/// As large as the sheet and the largest diameter allow; 0 when the tabs alone are too large.
double find_scale(const OrbitScheme& scheme, const Limits& limits, const Rectangle& box,
                  double radius, VariantWorkspace& work, const Variant& variant) {
  const Polygon& outline = work.polygon;
  const Vec2 along(std::cos(box.direction_rad), std::sin(box.direction_rad));
  const Vec2 across(-along.y(), along.x());
  work.points.assign(outline.begin(), outline.end());
  work.offsets.assign(outline.size(), Vec2::Zero());
  for (const PairJoint& joint : variant.joints)
    visit_own_edges(*scheme.group, joint, [&](const OwnEdge& edge) {
      const MeetingLine& line = variant.lines[index(edge.element)];
      const Vec2 from = line.point_at(edge.from), to = line.point_at(edge.to);
      const double sign = edge.above ? -1.0 : 1.0;  // the tab lies where the panel is not
      for (const Vec2& p : {from, to}) {
        work.points.push_back(p);
        work.offsets.push_back(sign * limits.tab_depth_mm * line.side);
      }
    });
  const Room room = find_room(limits);
  const double scale =
      std::min(find_largest_scale(work.points, work.offsets, along, room.length_mm),
               find_largest_scale(work.points, work.offsets, across, room.width_mm));
  return std::min(scale, limits.max_diameter_mm / (2 * radius));
}

}  // namespace

namespace {

/// Sheets, cost and cutting time as far as they can be told before the tabs are fitted; every tab
/// is thought to be as deep as wanted. `outline_mm` is the outline in millimetres.
StockUse estimate_stock(const OrbitScheme& scheme, const Limits& limits, const Variant& variant,
                        const Polygon& outline_mm) {
  PartSketch sketch;
  sketch.copies = scheme.panels();
  sketch.outline_mm = outline_mm;
  sketch.windows_mm = variant.windows_mm;
  std::vector<Segment> border;
  for (std::size_t i = 0; i < outline_mm.size(); ++i)
    border.push_back({outline_mm[i], outline_mm[i + 1 == outline_mm.size() ? 0 : i + 1]});
  const double depth = limits.tab_depth_mm;
  for (const PairJoint& joint : variant.joints)
    visit_own_edges(*scheme.group, joint, [&](const OwnEdge& edge) {
      const MeetingLine& line = variant.lines[index(edge.element)];
      const Vec2 from = variant.scale_mm * line.point_at(edge.from);
      const Vec2 to = variant.scale_mm * line.point_at(edge.to);
      const Vec2 out = (edge.above ? -depth : depth) * line.side;
      border.push_back({from, from + out});
      border.push_back({from + out, to + out});
      border.push_back({to + out, to});
      // Its ends will be cut back at 45 degrees.
      sketch.tab_area_mm2 +=
          scheme.count_images(edge.element) * depth * std::max((to - from).norm() - depth, 0.0);
      sketch.tab_edge_mm += scheme.count_images(edge.element) * 2 * (std::sqrt(2.0) - 1) * depth;
    });
  sketch.border_mm = border;
  return estimate_stock_use(sketch, limits);
}

/// One variant on its way through the stages. Each stage returns false when it turns it down.
struct Making {
  const OrbitScheme& scheme;
  const Draft& draft;
  const Limits& limits;
  VariantWorkspace& work;
  Variant& variant;
  const MakeOptions& options;
  double drawn_radius = 0;
  Rectangle box{};
  std::vector<Polygon> coarse_windows{};  ///< at true size, to half a millimetre: half the time

  bool turn_down(Status status, double shortfall) {
    variant.status = status;
    variant.shortfall = shortfall;
    return false;
  }

  bool place() {
    const int panels = variant.score.panels = scheme.panels();
    if (panels < limits.min_panels)
      return turn_down(Status::panels, 1 - double(panels) / limits.min_panels);
    if (panels > limits.max_panels)
      return turn_down(Status::panels, double(panels) / limits.max_panels - 1);
    if (draft.outline.size() < 3 || !is_finite(draft.outline) ||
        !contains(draft.outline, draft.hub))
      return turn_down(Status::bad_outline, 1);
    variant.frame = make_frame(draft.normal, draft.distance);
    find_meeting_lines(scheme, variant.frame, variant.lines);
    if (draft.lines.empty()) {
      variant.outline.assign(draft.outline);
    } else {
      assert(draft.lines.size() == draft.outline.size());
      variant.outline.clear();
      for (std::size_t i = 0; i < draft.lines.size(); ++i)
        variant.outline.push(draft.outline[i], draft.lines[i]);
    }
    double square = 0;
    for (const Vec2& p : draft.outline) square = std::max(square, (p - draft.hub).squaredNorm());
    drawn_radius = std::sqrt(square);
    return true;
  }

  /// What trimming needs to know to leave crossings for slots; false when nothing would fit the
  /// sheet.
  bool leave_crossings(TrimOptions& trimming) {
    variant.outline.copy_to(work.polygon);
    const double likely_scale = std::min(
        options.most_scale, estimate_scale(limits, measure_least_rectangle(work.polygon),
                                           measure_radius(variant.frame, variant.outline)));
    if (!(likely_scale > 0)) return false;
    leave_slots(limits, trimming);
    trimming.least_slot /= likely_scale;
    trimming.edge_clearance /= likely_scale;
    // Rigid boards leave all slots one way; boards that bend may lean, but not turn about.
    trimming.least_way_cosine = limits.working_strain > 0 ? 1e-6 : 1 - 1e-9;
    return true;
  }

  bool trim_outline() {
    TrimOptions trimming;
    trimming.style = draft.style;
    trimming.hub = draft.hub;
    trimming.coplanar_gap = 0.03 * drawn_radius;
    trimming.least_crossing = 1e-9 * drawn_radius;
    if (limits.joints_by != JointsBy::tab && !leave_crossings(trimming))
      return turn_down(Status::sheet, 1);
    if (trim(scheme, variant.frame, variant.lines, trimming, variant.outline, work.trim) !=
        TrimStatus::clean)
      return turn_down(Status::hub_lost, 1);
    variant.outline.drop_short_edges(1e-7 * drawn_radius);
    if (variant.outline.size() < 3) return turn_down(Status::hub_lost, 1);
    return true;
  }

  void measure_box() {
    variant.outline.copy_to(work.polygon);
    make_convex_hull(work.polygon, work.hulls, work.hull);
    box = measure_rectangle_of_hull(work.hull);
  }

  bool cut_tips() {
    measure_box();
    const double likely_scale =
        std::min(options.most_scale,
                 estimate_scale(limits, box, measure_radius(variant.frame, variant.outline)));
    if (!(likely_scale > 0)) return turn_down(Status::sheet, 1);
    if (blunt_tips(variant.outline, limits.min_width_mm / likely_scale, work.trim.scratch) > 0)
      measure_box();
    return true;
  }

  bool join() {
    find_joints(scheme, limits, work, variant);
    Score& score = variant.score;
    score.pieces = variant.joints.empty() ? scheme.panels() : count_pieces(scheme, variant, 0);
    return score.pieces == 1 || turn_down(Status::apart, 1 - 1.0 / score.pieces);
  }

  bool set_scale() {
    const double radius = measure_radius(variant.frame, variant.outline);
    variant.scale_mm =
        std::min(options.most_scale, find_scale(scheme, limits, box, radius, work, variant));
    if (!(variant.scale_mm > 0)) return turn_down(Status::sheet, 1);
    variant.score.diameter_mm = 2 * radius * variant.scale_mm;
    measure_board(radius, {});
    if (!measure_joints() || !judge_joints() || !cut_out_windows(radius)) return false;
    // From here on the polygon is the outline in millimetres.
    for (Vec2& p : work.polygon) p *= variant.scale_mm;
    return true;
  }

  /// What follows from how much board there is, and where. All but the scale in the drawn unit.
  void measure_board(double radius, const std::vector<Polygon>& windows) {
    const double scale = variant.scale_mm;
    Score& score = variant.score;
    double window_area = 0, window_moment = 0, window_border = 0;
    for (const Polygon& window : windows) {
      window_area += measure_area(window);
      window_moment += measure_second_moment(window);
      window_border += measure_perimeter(window);
    }
    const double area = measure_area(work.polygon) - window_area;
    score.mass_kg = (variant.outline.area() - window_area) * scale * scale * 1e-6 *
                    limits.mass_kg_per_m2 * scheme.panels();
    score.roundness = std::sqrt(variant.frame.origin.squaredNorm() +
                                (measure_second_moment(work.polygon) - window_moment) / area) /
                      radius;
    score.cut_length_mm =
        (measure_perimeter(work.polygon) + window_border) * scale * scheme.panels();
    score.layers = measure_layers(scheme.panels() * area, radius);
    score.slenderness = measure_slenderness(area, work.hull);
    score.evenness = measure_evenness(scheme, variant.frame, work.polygon, windows);
    score.appeal =
        measure_appeal(score, options.taste ? *options.taste : shipped_taste, Known::cheap);
  }

  bool cut_out_windows(double radius) {
    if (!(draft.frame > 0)) return true;
    Polygon outline_mm = work.polygon;
    for (Vec2& p : outline_mm) p *= variant.scale_mm;
    variant.windows_mm = cut_windows(scheme, variant, limits, draft.frame, outline_mm);
    if (variant.windows_mm.empty()) return turn_down(Status::narrow, 1);
    constexpr double coarse_mm = 0.5;
    for (const Polygon& window : variant.windows_mm)
      coarse_windows.push_back(make_simplified(window, coarse_mm));
    std::vector<Polygon> drawn = variant.windows_mm;
    for (Polygon& window : drawn)
      for (Vec2& p : window) p /= variant.scale_mm;
    measure_board(radius, drawn);
    return true;
  }

  bool measure_joints() {
    const double scale = variant.scale_mm;
    Score& score = variant.score;
    double own_joint_length = 0;
    score.shortest_joint_mm = std::numeric_limits<double>::infinity();
    score.min_angle_deg = 180;
    for (const PairJoint& joint : variant.joints) {
      const double length = joint.contact.length() * scale;
      if (length < least_joint_mm) {
        score.touches += joint.pairs;
        continue;
      }
      score.joints += joint.pairs;
      switch (kind_of(joint.contact.kind)) {
        case JointKind::tab:
          score.tab_joints += joint.pairs;
          break;
        case JointKind::edge:
          score.edge_joints += joint.pairs;
          break;
        case JointKind::slot:
          score.slot_joints += joint.pairs;
          break;
      }
      score.shortest_joint_mm = std::min(score.shortest_joint_mm, length);
      score.total_joint_mm += joint.pairs * length;
      const double angle = to_degrees(joint.angle_rad);
      score.min_angle_deg = std::min(score.min_angle_deg, angle);
      score.mean_angle_error_deg += joint.pairs * length * std::abs(angle - 90);
      score.max_angle_deg = std::max(score.max_angle_deg, angle);
      visit_own_edges(*scheme.group, joint, [&](const OwnEdge& edge) {
        own_joint_length += scheme.count_images(edge.element) * (edge.to - edge.from) * scale;
      });
    }
    if (score.joints == 0) return turn_down(Status::apart, 1);
    score.mean_angle_error_deg /= score.total_joint_mm;
    if (score.touches > 0) score.pieces = count_pieces(scheme, variant, least_joint_mm / scale);
    if (score.pieces > 1) return turn_down(Status::apart, 1 - 1.0 / score.pieces);
    double trimmed_length = 0;
    for (std::size_t i = 0; i < variant.outline.size(); ++i)
      if (variant.outline.line[i] >= 0)
        trimmed_length +=
            scale * (work.polygon[(i + 1) % work.polygon.size()] - work.polygon[i]).norm();
    score.joint_cover = trimmed_length > 0 ? std::min(1.0, own_joint_length / trimmed_length) : 0;
    return true;
  }

  bool judge_joints() {
    const Score& score = variant.score;
    if (score.joints > limits.max_joints)
      return turn_down(Status::joints, double(score.joints) / limits.max_joints - 1);
    if (!(score.shortest_joint_mm >= limits.min_joint_mm))
      return turn_down(Status::short_joint, 1 - score.shortest_joint_mm / limits.min_joint_mm);
    if (!(score.min_angle_deg >= limits.min_angle_deg))
      return turn_down(Status::angle, 1 - score.min_angle_deg / limits.min_angle_deg);
    if (!(score.max_angle_deg <= limits.max_angle_deg))
      return turn_down(Status::angle, score.max_angle_deg / limits.max_angle_deg - 1);
    if (!(score.diameter_mm >= limits.min_diameter_mm))
      return turn_down(Status::diameter, 1 - score.diameter_mm / limits.min_diameter_mm);
    return true;
  }

  /// The outline in millimetres less its slots; empty when they cut pieces off it.
  Polygon cut_slots() const {
    PolygonSet slots;
    const auto add = [&](const LineStretch& stretch, double angle_rad) {
      visit_own_images(scheme, variant, stretch, [&](Vec2 open, Vec2 closed) {
        if (!opens_at(open, closed, work.polygon, 1e-6 * (closed - open).norm()))
          std::swap(open, closed);
        slots.push_back(make_slot({open, closed, limits.thickness_mm, angle_rad, 0}, work.polygon));
      });
    };
    for (const PairJoint& joint : variant.joints) {
      if (joint.contact.kind != ContactKind::crossing) continue;
      add({joint.element, joint.contact.from, joint.contact.to}, joint.angle_rad);
      if (!scheme.group->is_involution(joint.element))
        add(find_stretch_on_inverse(scheme, joint), joint.angle_rad);
    }
    double loose = 0;
    Polygon body = take_largest(make_difference({work.polygon}, slots), loose);
    const double area = measure_area(body);
    return area > 0.9999 * (area + loose) ? body : Polygon{};
  }

  bool see_through() {
    Score& score = variant.score;
    Frame placed = variant.frame;
    placed.origin *= variant.scale_mm;
    score.openness =
        measure_openness({placed, work.polygon, coarse_windows}, *scheme.rays, work.openness);
    if (!(score.openness >= limits.min_openness))
      return turn_down(Status::openness, 1 - score.openness / limits.min_openness);
    if (!(score.openness <= limits.max_openness))
      return turn_down(Status::openness, score.openness / limits.max_openness - 1);
    return true;
  }

  bool keep_apart() {
    const std::vector<char>& joined = work.clearance.joined;
    find_joined_pairs(scheme, variant, work.clearance.joined);
    make_body_outline(scheme, variant, work.polygon, limits.thickness_mm, work.body);
    Frame placed = variant.frame;
    placed.origin *= variant.scale_mm;
    const double clearance =
        measure_clearance({scheme, placed, variant.lines, variant.scale_mm, work.polygon,
                           work.body.outline_mm, limits.thickness_mm},
                          options.clearance_up_to * limits.thickness_mm, work.clearance);
    variant.score.min_clearance_mm = clearance;
    const bool all_joined =
        scheme.coplanar.empty() && std::find(joined.begin(), joined.end(), false) == joined.end();
    return all_joined || clearance >= limits.thickness_mm ||
           turn_down(Status::clearance, 1 - clearance / limits.thickness_mm);
  }

  bool measure_width() {
    Score& score = variant.score;
    Polygon slotted;
    const bool has_slots = std::any_of(
        variant.joints.begin(), variant.joints.end(),
        [](const PairJoint& joint) { return joint.contact.kind == ContactKind::crossing; });
    if (has_slots) {
      slotted = cut_slots();
      if (slotted.empty()) return turn_down(Status::narrow, 1);
    }
    const Polygon& body = has_slots ? slotted : work.polygon;
    score.min_width_mm =
        find_thinnest_place(body, coarse_windows, find_enough_width(limits), work.width).width_mm;
    return score.min_width_mm >= limits.min_width_mm ||
           turn_down(Status::narrow, 1 - score.min_width_mm / limits.min_width_mm);
  }

  bool estimate_sheets() {
    estimate_stock(scheme, limits, variant, work.polygon).put_into(variant.score);
    return true;
  }

  bool stiffen() {
    make_symmetric_structure(scheme, variant, work.polygon, work.structure);
    Score& score = variant.score;
    // Of what ends here for want of stiffness the bound is as good as the value.
    const std::optional<Stiffness> stiffness =
        find_stiffness(*scheme.blocks, work.structure, work.stiffness, [&](double at_most) {
          score.stiffness = at_most;
          return !options.gate || options.gate->lets_through(Stage::count_, score);
        });
    if (!stiffness) return turn_down(Status::outdone, 0);
    score.internal_dof = stiffness->internal_dof;
    score.stiffness = stiffness->value;
    if (score.internal_dof > 0 && !limits.allow_flexible)
      return turn_down(Status::flexible, score.internal_dof / (6.0 * score.panels));
    if (!(score.stiffness >= limits.min_stiffness))
      return turn_down(Status::weak, 1 - score.stiffness / limits.min_stiffness);
    return true;
  }
};

}  // namespace

Score find_best_case(const Score& score, Stage next, const Limits& limits) {
  assert(next > Stage::openness);
  Score best = score;
  if (next <= Stage::clearance) best.min_clearance_mm = clearance_cap * limits.thickness_mm;
  if (next <= Stage::width) best.min_width_mm = find_enough_width(limits);
  if (next <= Stage::stock) {
    best.sheets = 0;
    best.utilisation = 1;
    best.cost = best.cutting_min = 0;
  }
  if (next <= Stage::stiffness) best.stiffness = std::numeric_limits<double>::infinity();
  return best;
}

void make_variant(const OrbitScheme& scheme, const Draft& draft, const Limits& limits,
                  VariantWorkspace& work, Variant& variant, const MakeOptions& options) {
  variant.score = Score{};
  variant.joints.clear();
  variant.windows_mm.clear();
  variant.scale_mm = 1;
  Making making{scheme, draft, limits, work, variant, options};
  using Step = bool (Making::*)();
  static constexpr Step steps[] = {
      &Making::place,           &Making::trim_outline, &Making::cut_tips,   &Making::join,
      &Making::set_scale,       &Making::see_through,  &Making::keep_apart, &Making::measure_width,
      &Making::estimate_sheets, &Making::stiffen};
  static_assert(std::size(steps) == static_cast<std::size_t>(Stage::count_));
  for (std::size_t i = 0; i < std::size(steps); ++i) {
    const auto stage = static_cast<Stage>(i);
    if (stage == Stage::stock && options.stock == StockEstimate::left_out) continue;
    if (options.gate && !options.gate->lets_through(stage, variant.score)) {
      making.turn_down(Status::outdone, 0);
      break;
    }
    if (work.watch) work.watch->begin(stage);
    if (!(making.*steps[i])()) break;
    if (i + 1 == std::size(steps)) making.turn_down(Status::ok, 0);
  }
  if (work.watch)
    work.watch->end(variant.status != Status::ok && variant.status != Status::outdone);
}

Design make_design(const OrbitScheme& scheme, const Variant& variant, const Limits& limits) {
  const PointGroup& group = *scheme.group;
  Design design;
  design.symmetry = group.symbol;
  design.thickness_mm = limits.thickness_mm;
  design.limits = limits;
  design.score = variant.score;
  Orbit orbit;
  orbit.panel.frame = variant.frame;
  orbit.panel.frame.origin *= variant.scale_mm;
  for (const Vec2& p : variant.outline.to_polygon())
    orbit.panel.outline_mm.push_back(variant.scale_mm * p);
  orbit.panel.holes_mm = variant.windows_mm;
  for (const int element : scheme.copies) orbit.copies.push_back(group.elements[index(element)]);
  const int copies = scheme.panels();

  // Every unordered pair of copies of each class once; all pairs of a class have the same joints.
  std::vector<int> class_of(index(copies) * index(copies), -1);
  int class_number = 0;
  for (std::size_t first = 0; first < variant.joints.size(); ++class_number) {
    std::size_t last = first;
    while (last < variant.joints.size() &&
           variant.joints[last].element == variant.joints[first].element)
      ++last;
    const int element = variant.joints[first].element;
    for (int a = 0; a < group.order(); ++a) {
      const int i = scheme.copy_of[index(a)], j = scheme.copy_of[index(group.multiply(a, element))];
      int& seen = class_of[index(std::min(i, j)) * index(copies) + index(std::max(i, j))];
      if (seen == class_number) continue;
      seen = class_number;
      for (std::size_t k = first; k < last; ++k) {
        const PairJoint& from = variant.joints[k];
        if (from.contact.length() * variant.scale_mm < least_joint_mm) continue;
        const MeetingLine& line = variant.lines[index(element)];
        const auto place = [&](double s) {
          return Vec3(variant.scale_mm *
                      (group.elements[index(a)] * variant.frame.to_space(line.point_at(s))));
        };
        Joint joint;
        joint.kind = kind_of(from.contact.kind);
        joint.panels[0] = from.contact.kind == ContactKind::edge_second ? j : i;
        joint.panels[1] = from.contact.kind == ContactKind::edge_second ? i : j;
        joint.from_mm = place(from.contact.from);
        joint.to_mm = place(from.contact.to);
        joint.angle_deg = to_degrees(from.angle_rad);
        design.joints.push_back(joint);
      }
    }
    first = last;
  }
  design.orbits.push_back(std::move(orbit));
  return design;
}

}  // namespace sixtyfold
