#pragma once
// What one variant is worth: every number computed from its geometry.

namespace sixtyfold {

/// A number that does not apply (no joint, so no shortest joint) is 0.
struct Score {
  int panels = 0;  ///< copies in the whole construction
  int joints = 0;  ///< joints in the whole construction, all kinds
  int tab_joints = 0, edge_joints = 0, slot_joints = 0;
  int touches = 0;                 ///< contacts too short to glue
  int collisions = 0;              ///< pairs of copies whose mid-surfaces cross
  double collision_length_mm = 0;  ///< total over those pairs
  int slab_overlaps = 0;           ///< pairs of copies whose finished solids overlap
  int pieces = 0;                  ///< connected components of the joint graph
  int internal_dof = 0;            ///< internal degrees of freedom, folds free
  /// Steps of its assembly without a way in, and those for which boards have to be bent, see
  /// engine/building/assembly_order.h; -1: not looked at.
  int hard_steps = -1, spring_steps = -1;
  /// Of the day, the opening a module passes, the miss of the last joint: see
  /// engine/building/day.h; -1: not looked at. Within the search hours are those at least needed.
  double hours = -1, module_opening_mm = -1, closure_mm = -1;
  double stiffness = 0;    ///< 0 for a mechanism; see engine/structure/stiffness.h
  double diameter_mm = 0;  ///< of the sphere about the centre that encloses it
  double panel_length_mm = 0, panel_width_mm = 0;  ///< least rectangle of the flat pattern
  double mass_kg = 0;
  double min_width_mm = 0;                           ///< see engine/shape/width.h
  double shortest_joint_mm = 0, total_joint_mm = 0;  ///< total over the whole construction
  double min_angle_deg = 0, max_angle_deg = 0;
  double mean_angle_error_deg = 0;  ///< mean of |plane angle - 90| over the length of the joints
  double joint_cover = 0;           ///< share of the trimmed edges that is glued, 0 to 1
  double min_clearance_mm = 0;      ///< smallest distance between copies that are not joined
  double openness = 0;  ///< share of lines of sight that no panel blocks, see shape/openness.h
  /// Root mean square distance of the panels' area from the centre / radius of the enclosing
  /// sphere: 1 for a sphere, small for spikes.
  double roundness = 0;
  /// What the eye goes by; see engine/appeal/proportions.h and sight.h. Within the search
  /// see_through and legibility are not known and stay 0, and appeal is what it is at most.
  double layers = 0, slenderness = 0, evenness = 0, see_through = 0, legibility = 0;
  double appeal = 0;         ///< 0 to 1, see engine/appeal/taste.h
  double cut_length_mm = 0;  ///< perimeter of the mid-surface outline, times the panels
  int parts_per_sheet = 0, sheets = 0;
  double parts_room = 0;   ///< parts a sheet as a real number, within the search alone
  double utilisation = 0;  ///< part area / sheet area used, 0 to 1
  double cost = 0;         ///< of the sheets, in the buyer's own money; 0: no price is known
  double cutting_min = 0;  ///< to cut all stacks, at the feed of the limits

  bool operator==(const Score&) const = default;
};

}  // namespace sixtyfold
