#include "engine/limits.h"

#include <sstream>

#include "engine/allowed.h"

namespace sixtyfold {

namespace {

std::string say(const char* name, double value, const char* allowed) {
  std::ostringstream text;
  text << name << " is " << value << "; allowed is " << allowed;
  return text.str();
}

}  // namespace

std::string Limits::find_fault() const {
  // Written so that not-a-number fails every test.
  if (!allowed::sheet_side.holds(sheet_width_mm))
    return say("the sheet's short side", sheet_width_mm, allowed::sheet_side.range().c_str());
  if (!(sheet_width_mm <= sheet_height_mm && allowed::sheet_side.holds(sheet_height_mm)))
    return say("the sheet's long side", sheet_height_mm, "the short side to 20000 mm");
  if (!(0 <= edge_margin_mm && 2 * edge_margin_mm < sheet_width_mm))
    return say("the edge margin", edge_margin_mm, "0 to less than half the sheet, in mm");
  for (const std::string& fault :
       {allowed::gap.find_fault(gap_mm), allowed::sheet_price.find_fault(sheet_price),
        allowed::thickness.find_fault(thickness_mm), allowed::board_mass.find_fault(mass_kg_per_m2),
        allowed::tab_depth.find_fault(tab_depth_mm), allowed::min_width.find_fault(min_width_mm),
        allowed::min_joint.find_fault(min_joint_mm),
        allowed::cutting_height.find_fault(cutting_height_mm),
        allowed::throat.find_fault(throat_mm), allowed::feed.find_fault(feed_mm_per_min),
        allowed::stiffness.find_fault(min_stiffness)})
    if (!fault.empty()) return fault;
  if (!(0 <= min_angle_deg && min_angle_deg < 90))
    return say("the least plane angle", min_angle_deg, "0 to less than 90 degrees");
  if (!(90 <= max_angle_deg && max_angle_deg <= 180))
    return say("the largest plane angle", max_angle_deg, "90 to 180 degrees");
  if (!(0 <= min_diameter_mm && min_diameter_mm <= max_diameter_mm && max_diameter_mm <= 100000))
    return say("the diameter's upper limit", max_diameter_mm,
               "the lower limit (not negative) to 100000 mm");
  if (!(1 <= min_panels && min_panels <= max_panels))
    return say("the least number of panels", min_panels, "1 to the largest number");
  if (!(0 <= max_joints)) return say("the largest number of joints", max_joints, "0 and more");
  if (!(0 <= max_hard_steps))
    return say("the largest number of hard steps", max_hard_steps, "0 and more");
  if (!(0 <= max_hours)) return say("the longest day", max_hours, "0 and more hours");
  if (!(0 <= max_module_opening_mm))
    return say("the widest opening a module may need", max_module_opening_mm, "0 and more mm");
  if (!(0 <= max_closure_mm))
    return say("the largest miss of the last joint", max_closure_mm, "0 and more mm");
  for (const std::string& fault :
       {allowed::people.find_fault(people), allowed::saws.find_fault(saws),
        allowed::slot_play.find_fault(slot_play_mm)})
    if (!fault.empty()) return fault;
  if (!(0 <= working_strain && working_strain <= 0.1))
    return say("the working strain", working_strain, "0 (not bent) to 0.1");
  if (!(0 <= min_openness && min_openness <= max_openness && max_openness <= 1))
    return say("the openness' upper limit", max_openness, "the lower limit (not negative) to 1");
  return "";
}

}  // namespace sixtyfold
