#include "engine/limits.h"

#include <sstream>

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
  if (!(50 <= sheet_width_mm && sheet_width_mm <= 20000))
    return say("the sheet's short side", sheet_width_mm, "50 to 20000 mm");
  if (!(sheet_width_mm <= sheet_height_mm && sheet_height_mm <= 20000))
    return say("the sheet's long side", sheet_height_mm, "the short side to 20000 mm");
  if (!(0 <= edge_margin_mm && 2 * edge_margin_mm < sheet_width_mm))
    return say("the edge margin", edge_margin_mm, "0 to less than half the sheet, in mm");
  if (!(0 <= gap_mm && gap_mm <= 1000)) return say("the gap between parts", gap_mm, "0 to 1000 mm");
  if (!(0 <= sheet_price && sheet_price <= 1e9))
    return say("the price of a sheet", sheet_price, "0 (not known) to 1000000000");
  if (!(0.1 <= thickness_mm && thickness_mm <= 100))
    return say("the thickness", thickness_mm, "0.1 to 100 mm");
  if (!(0.01 <= mass_kg_per_m2 && mass_kg_per_m2 <= 500))
    return say("the mass of the board", mass_kg_per_m2, "0.01 to 500 kg/m2");
  if (!(2 <= tab_depth_mm && tab_depth_mm <= 500))
    return say("the tab depth", tab_depth_mm, "2 to 500 mm");
  if (!(0 <= min_width_mm && min_width_mm <= 10000))
    return say("the least width", min_width_mm, "0 to 10000 mm");
  if (!(0 <= min_joint_mm && min_joint_mm <= 10000))
    return say("the shortest joint", min_joint_mm, "0 to 10000 mm");
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
  if (!(0 <= working_strain && working_strain <= 0.1))
    return say("the working strain", working_strain, "0 (not bent) to 0.1");
  if (!(0.05 <= cutting_height_mm && cutting_height_mm <= 200))
    return say("the cutting height", cutting_height_mm, "0.05 to 200 mm");
  if (!(10 <= throat_mm && throat_mm <= 5000))
    return say("the saw's throat", throat_mm, "10 to 5000 mm");
  if (!(1 <= feed_mm_per_min && feed_mm_per_min <= 1e5))
    return say("the feed", feed_mm_per_min, "1 to 100000 mm a minute");
  if (!(0 <= min_stiffness && min_stiffness <= 1e6))
    return say("the least stiffness", min_stiffness, "0 to 1000000");
  if (!(0 <= min_openness && min_openness <= max_openness && max_openness <= 1))
    return say("the openness' upper limit", max_openness, "the lower limit (not negative) to 1");
  return "";
}

}  // namespace sixtyfold
