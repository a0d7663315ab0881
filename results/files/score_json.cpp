#include "results/files/score_json.h"

#include "results/files/json_fields.h"

namespace sixtyfold {

namespace {

template <class Values, class Visit>
void visit_fields(Values& score, const Visit& visit) {
  visit("panels", score.panels);
  visit("joints", score.joints);
  visit("tab_joints", score.tab_joints);
  visit("edge_joints", score.edge_joints);
  visit("slot_joints", score.slot_joints);
  visit("touches", score.touches);
  visit("collisions", score.collisions);
  visit("collision_length_mm", score.collision_length_mm);
  visit("slab_overlaps", score.slab_overlaps);
  visit("pieces", score.pieces);
  visit("internal_dof", score.internal_dof);
  visit("stiffness", score.stiffness);
  visit("hard_steps", score.hard_steps);
  visit("spring_steps", score.spring_steps);
  visit("hours", score.hours);
  visit("module_opening_mm", score.module_opening_mm);
  visit("closure_mm", score.closure_mm);
  visit("diameter_mm", score.diameter_mm);
  visit("panel_length_mm", score.panel_length_mm);
  visit("panel_width_mm", score.panel_width_mm);
  visit("mass_kg", score.mass_kg);
  visit("min_width_mm", score.min_width_mm);
  visit("shortest_joint_mm", score.shortest_joint_mm);
  visit("total_joint_mm", score.total_joint_mm);
  visit("min_angle_deg", score.min_angle_deg);
  visit("max_angle_deg", score.max_angle_deg);
  visit("mean_angle_error_deg", score.mean_angle_error_deg);
  visit("joint_cover", score.joint_cover);
  visit("min_clearance_mm", score.min_clearance_mm);
  visit("openness", score.openness);
  visit("roundness", score.roundness);
  visit("layers", score.layers);
  visit("slenderness", score.slenderness);
  visit("evenness", score.evenness);
  visit("see_through", score.see_through);
  visit("legibility", score.legibility);
  visit("appeal", score.appeal);
  visit("cut_length_mm", score.cut_length_mm);
  visit("parts_per_sheet", score.parts_per_sheet);
  visit("sheets", score.sheets);
  visit("utilisation", score.utilisation);
  visit("cost", score.cost);
  visit("cutting_min", score.cutting_min);
}

}  // namespace

nlohmann::ordered_json write_score_json(const Score& score) {
  nlohmann::ordered_json object = nlohmann::ordered_json::object();
  visit_fields(score, FieldWriter{object});
  for (const char* late :
       {"hard_steps", "spring_steps", "hours", "module_opening_mm", "closure_mm"})
    if (object[late] == -1) object.erase(late);  // not looked at
  return object;
}

Score read_score_json(const JsonCursor& object) {
  Score score;
  visit_fields(score, FieldReader{object});
  return score;
}

}  // namespace sixtyfold
