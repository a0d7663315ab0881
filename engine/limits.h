#pragma once
// The limits a design is searched and checked under.

#include <limits>
#include <string>

#include "engine/vectors.h"

namespace sixtyfold {

/// Which side of the sheet the grain (flutes, fibres) runs along. With grain, the part's long axis
/// lies along it; without, the part may be turned freely.
enum class Grain { along_long_side, along_short_side, none };

/// What the parts are cut out with.
enum class CutTool { knife, scroll_saw };

/// How two panels may be joined where they meet.
enum class JointsBy { tab, slot, both };

struct Limits {
  double sheet_width_mm = 600;    ///< short side of the sheet
  double sheet_height_mm = 1200;  ///< long side of the sheet
  Grain grain = Grain::none;
  double edge_margin_mm = 5;      ///< kept free along the sheet's edges
  double gap_mm = 3;              ///< between parts on the sheet
  bool both_faces_alike = false;  ///< a part may be laid turned over
  double sheet_price = 0;         ///< of one sheet, in the buyer's own money; 0: not known
  double thickness_mm = 4;
  double mass_kg_per_m2 = 0.6;  ///< of the board
  double tab_depth_mm = 35;
  double min_width_mm = 25;                        ///< thinnest tip or neck
  double min_joint_mm = 60;                        ///< shortest joint
  double min_angle_deg = 20, max_angle_deg = 160;  ///< plane angles at joints
  double min_diameter_mm = 0;
  double max_diameter_mm = 2000;
  int min_panels = 2, max_panels = std::numeric_limits<int>::max();
  int max_joints = std::numeric_limits<int>::max();
  int max_hard_steps = std::numeric_limits<int>::max();  ///< see engine/building/assembly_order.h
  /// Of the day by its plan, of the opening that a module is carried through, and of the miss of
  /// the last joint: see engine/building/day.h. Infinite: no limit.
  double max_hours = std::numeric_limits<double>::infinity();
  double max_module_opening_mm = std::numeric_limits<double>::infinity();
  double max_closure_mm = std::numeric_limits<double>::infinity();
  int people = 20, saws = 2;  ///< who build, and cutting places: for the hours
  double slot_play_mm = 0.3;  ///< slots are wider and deeper by so much, see FlatOptions
  double working_strain = 0;  ///< that the board bears while it is sprung in; 0: it is not bent
  double min_stiffness = 0;   ///< see engine/structure/stiffness.h
  double min_openness = 0.02, max_openness = 0.95;
  CutTool tool = CutTool::scroll_saw;
  double cutting_height_mm = 25;  ///< of a stack on the saw, see engine/stock/cutting.h
  double throat_mm = 400;         ///< of the saw
  double feed_mm_per_min = 400;   ///< along the cut: an assumption, time one stack and put in yours
  bool allow_flexible = false;    ///< list designs that are not rigid, with their freedoms
  JointsBy joints_by = JointsBy::tab;

  /// Empty when the limits make sense, else one sentence: the value, and what is allowed.
  std::string find_fault() const;

  bool operator==(const Limits&) const = default;
};

}  // namespace sixtyfold
