#include "results/files/limits_json.h"

#include "results/files/json_fields.h"
#include "results/files/names.h"

namespace sixtyfold {

namespace {

template <class Values, class Visit>
void visit_fields(Values& limits, const Visit& visit) {
  visit("sheet_width_mm", limits.sheet_width_mm);
  visit("sheet_height_mm", limits.sheet_height_mm);
  visit("grain", limits.grain);
  visit("edge_margin_mm", limits.edge_margin_mm);
  visit("gap_mm", limits.gap_mm);
  visit("both_faces_alike", limits.both_faces_alike);
  visit("sheet_price", limits.sheet_price);
  visit("thickness_mm", limits.thickness_mm);
  visit("mass_kg_per_m2", limits.mass_kg_per_m2);
  visit("tab_depth_mm", limits.tab_depth_mm);
  visit("min_width_mm", limits.min_width_mm);
  visit("min_joint_mm", limits.min_joint_mm);
  visit("min_angle_deg", limits.min_angle_deg);
  visit("max_angle_deg", limits.max_angle_deg);
  visit("min_diameter_mm", limits.min_diameter_mm);
  visit("max_diameter_mm", limits.max_diameter_mm);
  visit("min_panels", limits.min_panels);
  visit("max_panels", limits.max_panels);
  visit("max_joints", limits.max_joints);
  visit("max_hard_steps", limits.max_hard_steps);
  visit("max_hours", limits.max_hours);
  visit("max_module_opening_mm", limits.max_module_opening_mm);
  visit("max_closure_mm", limits.max_closure_mm);
  visit("people", limits.people);
  visit("saws", limits.saws);
  visit("slot_play_mm", limits.slot_play_mm);
  visit("working_strain", limits.working_strain);
  visit("min_stiffness", limits.min_stiffness);
  visit("min_openness", limits.min_openness);
  visit("max_openness", limits.max_openness);
  visit("tool", limits.tool);
  visit("cutting_height_mm", limits.cutting_height_mm);
  visit("throat_mm", limits.throat_mm);
  visit("feed_mm_per_min", limits.feed_mm_per_min);
  visit("allow_flexible", limits.allow_flexible);
  visit("joints_by", limits.joints_by);
}

}  // namespace

nlohmann::ordered_json write_limits_json(const Limits& limits) {
  nlohmann::ordered_json object = nlohmann::ordered_json::object();
  visit_fields(limits, FieldWriter{object});
  return object;
}

Limits read_limits_json(const JsonCursor& object) {
  Limits limits;
  visit_fields(limits, FieldReader{object});
  if (const std::string fault = limits.find_fault(); !fault.empty()) object.fail(fault);
  return limits;
}

}  // namespace sixtyfold
