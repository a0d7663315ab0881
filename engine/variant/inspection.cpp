#include "engine/variant/inspection.h"

#include <algorithm>
#include <cmath>

#include "engine/appeal/design_looks.h"
#include "engine/contact/symmetry_copies.h"
#include "engine/nest/sheet_fit.h"
#include "engine/part/scaled_pattern.h"
#include "engine/part/slab.h"
#include "engine/shape/net_area.h"
#include "engine/shape/openness.h"
#include "engine/shape/second_moment.h"
#include "engine/shape/width.h"
#include "engine/stock/stock_use.h"
#include "engine/structure/stiffness.h"
#include "engine/text.h"
#include "engine/tolerance.h"

namespace sixtyfold {

namespace {

/// The search counts fewer rays.
constexpr double openness_doubt = 0.03;

/// "copies 3 and 17"
std::string name_pair(const int (&panels)[2]) {
  return format("copies %d and %d", panels[0], panels[1]);
}

void add_geometry_fault(Inspection& inspection, const std::string& sentence) {
  inspection.faults.push_back(sentence);
  inspection.geometry_faults.push_back(sentence);
}

void measure_size(const Design& design, Score& score) {
  const double radius = measure_enclosing_radius(design);
  double mass = 0, area = 0, moment = 0;
  for (const Orbit& orbit : design.orbits) {
    const auto copies = static_cast<double>(orbit.copies.size());
    score.panels += static_cast<int>(orbit.copies.size());
    const double board = measure_net_area(orbit.panel.outline_mm, orbit.panel.holes_mm);
    mass += copies * board * 1e-6 * design.limits.mass_kg_per_m2;
    double own_moment = measure_second_moment(orbit.panel.outline_mm);
    double border = measure_perimeter(orbit.panel.outline_mm);
    for (const Polygon& hole : orbit.panel.holes_mm) {
      own_moment -= measure_second_moment(hole);
      border += measure_perimeter(hole);
    }
    area += copies * board;
    moment += copies * (board * orbit.panel.frame.origin.squaredNorm() + own_moment);
    score.cut_length_mm += copies * border;
  }
  score.roundness = std::sqrt(moment / area) / radius;
  score.diameter_mm = 2 * radius;
  score.mass_kg = mass;
}

void measure_joints(const Rebuilt& rebuilt, Score& score) {
  score.joints = static_cast<int>(rebuilt.joints.size());
  score.touches = static_cast<int>(rebuilt.touches.size());
  score.collisions = static_cast<int>(rebuilt.collisions.size());
  score.collision_length_mm = rebuilt.collision_length_mm;
  score.pieces = rebuilt.pieces;
  for (const Joint& joint : rebuilt.joints) {
    switch (joint.kind) {
      case JointKind::tab:
        ++score.tab_joints;
        break;
      case JointKind::edge:
        ++score.edge_joints;
        break;
      case JointKind::slot:
        ++score.slot_joints;
        break;
    }
    const double length = joint.length_mm(), angle = joint.angle_deg;
    const bool first = &joint == rebuilt.joints.data();
    score.total_joint_mm += length;
    score.mean_angle_error_deg += length * std::abs(angle - 90);
    score.shortest_joint_mm = first ? length : std::min(score.shortest_joint_mm, length);
    score.min_angle_deg = first ? angle : std::min(score.min_angle_deg, angle);
    score.max_angle_deg = std::max(score.max_angle_deg, angle);
  }
  if (score.total_joint_mm > 0) score.mean_angle_error_deg /= score.total_joint_mm;
}

void measure_rigidity(const Design& design, Score& score, std::vector<std::string>& faults) {
  const Stiffness stiffness = measure_stiffness(make_structure(design));
  score.internal_dof = stiffness.internal_dof;
  score.stiffness = stiffness.value;
  if (score.internal_dof > 0 && !design.limits.allow_flexible)
    faults.push_back("it is not rigid: it has " +
                     count_of(score.internal_dof, "internal degree", "internal degrees") +
                     " of freedom");
  else if (!(score.stiffness >= design.limits.min_stiffness))
    faults.push_back(format("its stiffness number is %.4g; at least %.4g is wanted",
                            score.stiffness, design.limits.min_stiffness));
}

/// Thinnest place of any part.
void measure_width(Inspection& inspection) {
  Score& score = inspection.design.score;
  const Limits& limits = inspection.design.limits;
  bool first = true;
  for (const Orbit& orbit : inspection.design.orbits) {
    const ThinPlace thin = find_thinnest_place(orbit.panel.outline_mm, orbit.panel.holes_mm);
    if (!first && thin.width_mm >= score.min_width_mm) continue;
    first = false;
    score.min_width_mm = thin.width_mm;
    inspection.thinnest_mm = thin.point_mm;
  }
  if (!(score.min_width_mm >= limits.min_width_mm - least_difference_mm))
    inspection.faults.push_back(
        format("the panel is %.1f mm wide at its thinnest, near (%.0f, %.0f); at least %.1f mm "
               "are wanted",
               score.min_width_mm, inspection.thinnest_mm.x(), inspection.thinnest_mm.y(),
               limits.min_width_mm));
}

void measure_light(const Design& design, Score& score, std::vector<std::string>& faults) {
  std::vector<ShadeOrbit> shades;
  for (const Orbit& orbit : design.orbits)
    shades.push_back(
        {orbit.copies, {orbit.panel.frame, orbit.panel.outline_mm, orbit.panel.holes_mm}});
  score.openness = measure_openness(shades, 1024);
  const Limits& limits = design.limits;
  if (!(score.openness >= limits.min_openness - openness_doubt))
    faults.push_back(
        format("it is closed: %.0f %% of the lines of sight out of its middle are free; "
               "at least %.0f %% are wanted",
               100 * score.openness, 100 * limits.min_openness));
  if (!(score.openness <= limits.max_openness + openness_doubt))
    faults.push_back(
        format("it is hardly there: %.0f %% of the lines of sight out of its middle are "
               "free; at most %.0f %% are allowed",
               100 * score.openness, 100 * limits.max_openness));
}

/// Whether an edge of the outline lies on the meeting line with some other copy: then trimming made
/// it, or it might as well have.
bool lies_on_meeting_line(const Vec3& from, const Vec3& to, const PlacedPanel& self,
                          const std::vector<PlacedPanel>& placed) {
  return std::any_of(placed.begin(), placed.end(), [&](const PlacedPanel& other) {
    return &other != &self && std::abs(other.frame.height_of(from)) <= contact_band_mm &&
           std::abs(other.frame.height_of(to)) <= contact_band_mm &&
           self.frame.normal.cross(other.frame.normal).norm() > 1e-6;
  });
}

double measure_joint_cover(const Design& design, const PartJoints& part_joints) {
  const std::vector<PlacedPanel> placed = find_placed_panels(design);
  double glued = 0, trimmed = 0;
  std::size_t first = 0;
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const auto copies = design.orbits[o].copies.size();
    const double weight = static_cast<double>(copies);
    for (const PanelJoint& joint : part_joints.joints[o])
      if (joint.role == JointRole::tab_edge || joint.role == JointRole::plain_edge ||
          joint.role == JointRole::double_tab)
        glued += weight * (joint.to_mm - joint.from_mm).norm();
    const Polygon& outline = design.orbits[o].panel.outline_mm;
    const PlacedPanel& self = placed[first];
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Vec2 &from = outline[i], &to = outline[(i + 1) % outline.size()];
      if (lies_on_meeting_line(self.frame.to_space(from), self.frame.to_space(to), self, placed))
        trimmed += weight * (to - from).norm();
    }
    first += copies;
  }
  return trimmed > 0 ? std::min(1.0, glued / trimmed) : 0;
}

/// What slots leave of a part too thin, or cut off it.
void add_slot_faults(Inspection& inspection, const Finished& finished) {
  Design& design = inspection.design;
  for (const FinishedPart& part : finished.parts) {
    if (part.pattern.slots.empty()) continue;
    if (part.pattern.lost_area_mm2 > 1)
      add_geometry_fault(inspection, format("its slots cut a piece of %.0f mm2 off the panel",
                                            part.pattern.lost_area_mm2));
    const ThinPlace thin = find_thinnest_place(part.pattern.body_mm, part.pattern.holes_mm);
    if (thin.width_mm < design.score.min_width_mm) design.score.min_width_mm = thin.width_mm;
    // Setbacks take a little off what the limit is set for.
    if (!(thin.width_mm >= design.limits.min_width_mm - design.thickness_mm))
      inspection.faults.push_back(
          format("beside a slot near (%.0f, %.0f) the panel is %.1f mm wide; at least %.1f mm "
                 "are wanted",
                 thin.point_mm.x(), thin.point_mm.y(), thin.width_mm, design.limits.min_width_mm));
  }
}

/// Flat patterns of all parts and the finished solids, and the faults met on the way.
void finish_parts(Inspection& inspection) {
  Design& design = inspection.design;
  std::vector<std::string>& faults = inspection.faults;
  const FlatOptions options = make_flat_options(design);
  const Finished finished = make_finished(design, options);
  faults.insert(faults.end(), finished.joints.faults.begin(), finished.joints.faults.end());
  if (finished.leaves_nothing()) {
    add_geometry_fault(inspection,
                       format("boards %.1f mm thick leave nothing of the part: at such angles "
                              "they stop too far from each other",
                              design.thickness_mm));
    return;
  }
  for (std::size_t o = 0; o < design.orbits.size(); ++o) {
    const FlatPattern& flat = finished.parts[o].pattern;
    design.orbits[o].panel.flat_pattern_mm = flat.outline_mm;
    for (const int joint : flat.joints_without_tab) {
      const PanelJoint& bare = finished.joints.joints[o][static_cast<std::size_t>(joint)];
      faults.push_back(
          format("the edge of %.1f mm at (%.1f, %.1f) of the panel has no room for a "
                 "tab of at least %.0f mm",
                 (bare.to_mm - bare.from_mm).norm(), bare.from_mm.x(), bare.from_mm.y(),
                 options.least_tab_depth_mm));
    }
  }
  design.score.joint_cover = measure_joint_cover(design, finished.joints);
  add_slot_faults(inspection, finished);
  const SlabReport slabs = measure_slabs(design, finished);
  design.score.slab_overlaps = static_cast<int>(slabs.overlaps.size());
  design.score.min_clearance_mm = slabs.min_clearance_mm;
  if (!slabs.overlaps.empty())
    add_geometry_fault(
        inspection,
        format("the finished panels of %s, %.1f mm thick, run into each other; %zu such "
               "pairs in all",
               name_pair(slabs.overlaps.front().copies).c_str(), design.thickness_mm,
               slabs.overlaps.size()));
  if (!slabs.too_close.empty())
    faults.push_back(
        format("%s are not joined and come within %.1f mm of each other; at least the "
               "thickness, %.1f mm, is wanted",
               name_pair(slabs.too_close.front().copies).c_str(),
               slabs.too_close.front().distance_mm, design.thickness_mm));
}

void measure_stock(Inspection& inspection, int nest_effort) {
  const Design& design = inspection.design;
  std::vector<std::string>& faults = inspection.faults;
  const Sheet sheet = make_sheet(design.limits);
  for (const Orbit& orbit : design.orbits) {
    const Polygon& pattern = orbit.panel.flat_pattern_mm;
    const Polygon hull = make_convex_hull(pattern);
    if (hull.size() < 3) return;
    if (!is_simple(pattern)) {
      add_geometry_fault(inspection, "the flat pattern crosses itself");
      return;
    }
    const SheetFit fit = measure_sheet_fit(hull, sheet);
    if (!fit.fits)
      faults.push_back(
          format("the flat pattern, %.0f x %.0f mm, does not fit a sheet of %.0f x "
                 "%.0f mm with a margin of %.0f mm%s",
                 fit.length_mm, fit.width_mm, sheet.short_mm, sheet.long_mm, sheet.edge_margin_mm,
                 sheet.grain == Grain::none ? "" : " along its grain"));
  }
  measure_stock_use(design, nest_effort).put_into(inspection.design.score);
}

/// The worst of what crosses, with the number of all.
void add_collision_fault(Inspection& inspection) {
  const auto& collisions = inspection.rebuilt.collisions;
  if (collisions.empty()) return;
  const auto worst =
      std::max_element(collisions.begin(), collisions.end(),
                       [](const auto& a, const auto& b) { return a.length_mm < b.length_mm; });
  const std::string how =
      worst->coplanar
          ? format("overlap in one plane by %.0f mm2", worst->length_mm * worst->length_mm)
          : format("pass through each other over %.1f mm", worst->length_mm);
  add_geometry_fault(
      inspection,
      format("%s %s at (%.0f, %.0f, %.0f) mm; %zu such %s in all", name_pair(worst->panels).c_str(),
             how.c_str(), worst->middle_mm.x(), worst->middle_mm.y(), worst->middle_mm.z(),
             collisions.size(), collisions.size() == 1 ? "collision" : "collisions"));
}

void add_joint_faults(const Rebuilt& rebuilt, const Limits& limits,
                      std::vector<std::string>& faults) {
  const Joint *shortest = nullptr, *sharpest = nullptr, *flattest = nullptr;
  for (const Joint& joint : rebuilt.joints) {
    if (!shortest || joint.length_mm() < shortest->length_mm()) shortest = &joint;
    if (!sharpest || joint.angle_deg < sharpest->angle_deg) sharpest = &joint;
    if (!flattest || joint.angle_deg > flattest->angle_deg) flattest = &joint;
  }
  if (!shortest) return;
  if (!(shortest->length_mm() >= limits.min_joint_mm - least_difference_mm))
    faults.push_back(format("the joint of %s is %.1f mm long; at least %.1f mm are wanted",
                            name_pair(shortest->panels).c_str(), shortest->length_mm(),
                            limits.min_joint_mm));
  const auto add_angle = [&](const Joint& joint) {
    faults.push_back(format("%s meet at %.1f degrees; %.1f to %.1f are allowed",
                            name_pair(joint.panels).c_str(), joint.angle_deg, limits.min_angle_deg,
                            limits.max_angle_deg));
  };
  if (!(sharpest->angle_deg >= limits.min_angle_deg - 1e-6)) add_angle(*sharpest);
  if (!(flattest->angle_deg <= limits.max_angle_deg + 1e-6)) add_angle(*flattest);
}

/// Whether joints hold it together at all.
void add_piece_fault(Inspection& inspection) {
  const Score& score = inspection.design.score;
  if (score.joints == 0)
    add_geometry_fault(inspection, "no two copies are joined");
  else if (score.pieces > 1)
    add_geometry_fault(
        inspection, format("it falls into %d pieces that no joint holds together", score.pieces));
}

void add_count_faults(const Score& score, const Limits& limits, std::vector<std::string>& faults) {
  if (!(limits.min_panels <= score.panels))
    faults.push_back(
        format("it has %d panels; at least %d are wanted", score.panels, limits.min_panels));
  if (!(score.panels <= limits.max_panels))
    faults.push_back(
        format("it has %d panels; at most %d are allowed", score.panels, limits.max_panels));
  if (!(score.joints <= limits.max_joints))
    faults.push_back(
        format("it has %d joints; at most %d are allowed", score.joints, limits.max_joints));
  if (!(score.diameter_mm >= limits.min_diameter_mm - least_difference_mm))
    faults.push_back(format("it is %.1f mm across; at least %.1f mm are wanted", score.diameter_mm,
                            limits.min_diameter_mm));
  if (!(score.diameter_mm <= limits.max_diameter_mm + least_difference_mm))
    faults.push_back(format("it is %.1f mm across; at most %.1f mm are allowed", score.diameter_mm,
                            limits.max_diameter_mm));
}

}  // namespace

std::string find_fold_fault(const std::vector<Joint>& joints, const Limits& limits) {
  if (limits.joints_by != JointsBy::slot) return "";
  const auto folded = std::count_if(joints.begin(), joints.end(), [](const Joint& joint) {
    return joint.kind != JointKind::slot;
  });
  if (folded == 0) return "";
  return format(
      "%td of its joints need folded tabs, and only slots are wanted (a board that does not "
      "fold, or --joints-by slot)",
      folded);
}

std::vector<std::string> find_limit_faults(const Inspection& inspection) {
  std::vector<std::string> limit_faults;
  const auto& broken = inspection.geometry_faults;
  for (const std::string& fault : inspection.faults)
    if (std::find(broken.begin(), broken.end(), fault) == broken.end())
      limit_faults.push_back(fault);
  return limit_faults;
}

Inspection inspect(const Design& given, int nest_effort) {
  Inspection inspection;
  Design& design = inspection.design = given;
  Score& score = design.score = Score{};
  inspection.rebuilt = rebuild(given);
  design.joints = inspection.rebuilt.joints;

  measure_size(design, score);
  measure_joints(inspection.rebuilt, score);
  add_collision_fault(inspection);
  if (const std::string fault = find_symmetry_fault(design); !fault.empty())
    add_geometry_fault(inspection, fault);
  add_piece_fault(inspection);
  add_count_faults(score, design.limits, inspection.faults);
  if (std::string fault = find_fold_fault(design.joints, design.limits); !fault.empty())
    inspection.faults.push_back(std::move(fault));
  add_joint_faults(inspection.rebuilt, design.limits, inspection.faults);
  measure_width(inspection);
  measure_light(design, score, inspection.faults);
  measure_looks(design, score);
  if (score.joints > 0) measure_rigidity(design, score, inspection.faults);
  if (score.collisions == 0) {
    finish_parts(inspection);
    measure_stock(inspection, nest_effort);
  }
  return inspection;
}

}  // namespace sixtyfold
