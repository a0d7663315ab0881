#include "results/reports/report.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>

#include "engine/appeal/taste.h"
#include "engine/building/size_limit.h"
#include "engine/text.h"
#include "engine/tolerance.h"
#include "results/files/json_writer.h"
#include "results/files/names.h"
#include "results/files/score_json.h"
#include "results/reports/assembly_report.h"
#include "results/reports/report_line.h"

namespace sixtyfold {

namespace {

/// Control characters would move the cursor of a terminal.
std::string printable(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 32 || c == 127) c = '?';
  return text;
}

/// Joints of one kind, length and angle, such as all images of one.
struct JointSort {
  JointKind kind;
  double length_mm, angle_deg;
  int count;
};

std::vector<JointSort> find_joint_sorts(const std::vector<Joint>& joints) {
  std::vector<JointSort> sorts;
  for (const Joint& joint : joints) {
    const auto same = std::find_if(sorts.begin(), sorts.end(), [&](const JointSort& sort) {
      return sort.kind == joint.kind && std::abs(sort.length_mm - joint.length_mm()) < 0.05 &&
             std::abs(sort.angle_deg - joint.angle_deg) < 0.05;
    });
    if (same == sorts.end())
      sorts.push_back({joint.kind, joint.length_mm(), joint.angle_deg, 1});
    else
      ++same->count;
  }
  std::stable_sort(sorts.begin(), sorts.end(), [](const JointSort& a, const JointSort& b) {
    return a.kind != b.kind ? a.kind < b.kind : a.length_mm > b.length_mm;
  });
  return sorts;
}

std::string describe(JointKind kind) {
  switch (kind) {
    case JointKind::tab:
      return "edge on face";
    case JointKind::edge:
      return "edge on edge";
    case JointKind::slot:
      break;
  }
  return "slot in slot";
}

void add_symmetry(std::string& report, const Design& design, const Score& score) {
  int turned_over = 0;
  for (const Orbit& orbit : design.orbits)
    for (const Mat3& copy : orbit.copies) turned_over += copy.determinant() < 0;
  std::string text =
      design.symmetry + ", " + count_of(score.panels, "copy", "copies") + " of " +
      (design.orbits.size() == 1 ? "one panel" : format("%zu panels", design.orbits.size()));
  if (turned_over > 0) text += format(", %d of them turned over", turned_over);
  add_report_line(report, "symmetry", text);
}

void add_joints(std::string& report, const Rebuilt& rebuilt, const Score& score) {
  std::string text = format("%d", score.joints);
  if (score.joints > 0) text += format(", %.2f m in all", score.total_joint_mm / 1000);
  add_report_line(report, "joints", text);
  constexpr std::size_t most_lines = 24;
  const std::vector<JointSort> sorts = find_joint_sorts(rebuilt.joints);
  for (std::size_t i = 0; i < std::min(sorts.size(), most_lines); ++i)
    add_report_line(
        report, "",
        format("%4d x %-12s %7.1f mm at %5.1f degrees", sorts[i].count,
               describe(sorts[i].kind).c_str(), sorts[i].length_mm, sorts[i].angle_deg));
  if (sorts.size() > most_lines)
    add_report_line(report, "", format("and %zu more sorts of joints", sorts.size() - most_lines));
  if (score.touches > 0)
    add_report_line(report, "touches",
                    format("%d contacts shorter than %g mm, not counted as joints", score.touches,
                           least_joint_mm));
}

/// In how many directions the first copy is pushed into others; slots are not parallel as a rule.
int count_slot_directions(const Rebuilt& rebuilt) {
  std::vector<Vec3> directions;
  for (const Joint& joint : rebuilt.joints) {
    if (joint.kind != JointKind::slot || (joint.panels[0] != 0 && joint.panels[1] != 0)) continue;
    const Vec3 along = (joint.to_mm - joint.from_mm).normalized();
    if (std::none_of(directions.begin(), directions.end(),
                     [&](const Vec3& d) { return std::abs(d.dot(along)) > 0.999; }))
      directions.push_back(along);
  }
  return static_cast<int>(directions.size());
}

void add_slots(std::string& report, const Rebuilt& rebuilt) {
  const int directions = count_slot_directions(rebuilt);
  if (directions > 0)
    add_report_line(
        report, "slots",
        directions == 1
            ? std::string("of a panel all run in one direction")
            : format("of a panel run in %d directions: the later ones go in only if the board "
                     "gives or its neighbours are still loose",
                     directions));
}

void add_collisions(std::string& report, const Rebuilt& rebuilt) {
  if (rebuilt.collisions.empty()) return add_report_line(report, "collisions", "none");
  add_report_line(
      report, "collisions",
      format("%zu, %.1f mm in all", rebuilt.collisions.size(), rebuilt.collision_length_mm));
  constexpr std::size_t most_lines = 12;
  const std::size_t shown = std::min(rebuilt.collisions.size(), most_lines);
  for (std::size_t i = 0; i < shown; ++i) {
    const Collision& collision = rebuilt.collisions[i];
    add_report_line(
        report, "",
        format("copies %d and %d, %.1f mm%s, at (%.0f, %.0f, %.0f) mm", collision.panels[0],
               collision.panels[1], collision.length_mm, collision.coplanar ? " in one plane" : "",
               collision.middle_mm.x(), collision.middle_mm.y(), collision.middle_mm.z()));
  }
  if (rebuilt.collisions.size() > shown)
    add_report_line(report, "", format("and %zu more", rebuilt.collisions.size() - shown));
}

/// Windows of each kind of part: how many, how much of it, and what the numbers make of them.
void add_windows(std::string& report, const Design& design) {
  const char* title = "windows";
  for (const Orbit& orbit : design.orbits) {
    const Panel& panel = orbit.panel;
    if (panel.holes_mm.empty()) continue;
    double area = 0, frame = std::numeric_limits<double>::infinity();
    for (const Polygon& hole : panel.holes_mm) {
      area += std::abs(measure_area(hole));
      for (const Vec2& p : hole) frame = std::min(frame, distance_to_boundary(panel.outline_mm, p));
    }
    add_report_line(
        report, title,
        format("%zu in each panel, %.0f %% of it; the frame is %.0f mm wide at least",
               panel.holes_mm.size(), 100 * area / measure_area(panel.outline_mm), frame));
    title = "";
  }
  if (*title == '\0')
    add_report_line(report, "",
                    "stiffness is that of panels without windows: frames give way more");
}

void add_appeal(std::string& report, const Score& score) {
  add_report_line(report, "appeal", format("%.2f of 1, by what the eye goes by", score.appeal));
  for (const std::string& reason : explain_appeal(score)) add_report_line(report, "", reason);
}

void add_sheet(std::string& report, const Design& design, const Score& score) {
  const Limits& limits = design.limits;
  const std::string sheet =
      format("%.0f x %.0f mm", limits.sheet_width_mm, limits.sheet_height_mm) +
      (limits.grain == Grain::none ? std::string()
                                   : ", grain along the " + name_of(limits.grain) + " side");
  if (score.sheets == 0) {
    if (score.panel_length_mm > 0)
      add_report_line(report, "sheet", sheet + ": the part does not fit");
    return;
  }
  add_report_line(
      report, "sheet",
      sheet + format(": %d a sheet, %s, %.0f %% used", score.parts_per_sheet,
                     count_of(score.sheets, "sheet", "sheets").c_str(), 100 * score.utilisation));
  if (score.cost > 0)
    add_report_line(report, "cost",
                    format("%.2f for the sheets, at %.2f each", score.cost, limits.sheet_price));
  if (score.cutting_min > 0)
    add_report_line(
        report, "cutting",
        format("about %.0f min with a ", score.cutting_min) +
            (limits.tool == CutTool::knife ? "knife" : "scroll saw") +
            format(" at %g mm a minute, an assumption: --feed", limits.feed_mm_per_min));
}

}  // namespace

std::string make_report(const Inspection& inspection, const AssemblyOrder* order) {
  const Design& design = inspection.design;
  const Score& score = design.score;
  std::string report;
  if (!design.name.empty()) add_report_line(report, "design", printable(design.name));
  add_symmetry(report, design, score);
  add_report_line(report, "size",
                  format("%.2f m across%s, %.*f kg", score.diameter_mm / 1000,
                         is_as_large_as_allowed(design) ? " (the most allowed)" : "",
                         score.mass_kg < 10 ? 2 : 1, score.mass_kg));
  if (score.panel_length_mm > 0)
    add_report_line(
        report, "part",
        format("%.0f x %.0f mm%s, board %g mm thick", score.panel_length_mm, score.panel_width_mm,
               score.tab_joints + score.edge_joints > 0 ? " with its tabs" : "",
               design.thickness_mm));
  add_joints(report, inspection.rebuilt, score);
  add_slots(report, inspection.rebuilt);
  add_report_line(report, "pieces", format("%d", score.pieces));
  if (score.joints > 0)
    add_report_line(report, "freedom",
                    score.internal_dof == 0
                        ? format("rigid, stiffness number %.4g", score.stiffness)
                        : count_of(score.internal_dof, "internal degree", "internal degrees") +
                              " of freedom: it moves");
  add_collisions(report, inspection.rebuilt);
  if (score.collisions == 0) {
    add_report_line(report, "overlaps",
                    score.slab_overlaps == 0
                        ? "none: the finished boards clear each other"
                        : count_of(score.slab_overlaps, "pair", "pairs") + " of finished boards");
    if (score.min_clearance_mm > 0)
      add_report_line(
          report, "clearance",
          format("%.1f mm at least between copies that are not joined", score.min_clearance_mm));
  }
  if (order) {
    add_assembly_lines(report, *order);
    add_day_lines(report, design, *order);
  }
  add_report_line(report, "thinnest place",
                  format("%.1f mm, at (%.1f, %.1f) of the panel", score.min_width_mm,
                         inspection.thinnest_mm.x(), inspection.thinnest_mm.y()));
  add_windows(report, design);
  add_report_line(
      report, "openness",
      format("%.0f %% of the lines of sight out of the middle are open", 100 * score.openness));
  add_appeal(report, score);
  add_sheet(report, design, score);
  report += "\n";
  if (inspection.buildable()) {
    report += "Buildable under these limits.\n";
  } else {
    report += "Not buildable:\n";
    for (const std::string& fault : inspection.faults) report += "  - " + printable(fault) + "\n";
  }
  return report;
}

nlohmann::ordered_json write_inspection_json(const Inspection& inspection) {
  return {{"buildable", inspection.buildable()},
          {"faults", inspection.faults},
          {"score", write_score_json(inspection.design.score)}};
}

}  // namespace sixtyfold
