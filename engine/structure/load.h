#pragma once
// A construction under its own weight, hung from or standing on given copies: deflection, force on
// each glue line, reserve against the glue's strength.
//
// Model: panels are rigid; all give is in the glue lines, elastic in slip and opening, and in the
// folds, elastic in turning. Left out: bending of the panels, creep, damp, faults of gluing, shocks
// and draughts. So the numbers are ESTIMATES FOR COMPARING DESIGNS, not a load calculation and
// never a permit: whatever hangs over people or can fall on them needs a competent person's
// judgement, a second independent suspension, and the local rules.

#include <string>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

struct Design;

inline constexpr double gravity_m_per_s2 = 9.80665;  ///< standard gravity (CGPM 1901)

/// What the joints can do. The defaults are orders of magnitude for a 4 mm corrugated or grey board
/// with 35 mm tabs: common practice, no published source; measure your own glued strip to better
/// them.
struct GlueLine {
  /// Force per mm of line for 1 mm of slip or opening. Basis: a tab's in-plane stiffness, shear
  /// modulus times thickness over tab depth, about 150 N/mm over 35 mm.
  double stiffness_n_per_mm2 = 4;
  /// Moment per mm of line for 1 rad of turning about the fold. Basis: a scored crease.
  double fold_nmm_per_mm_rad = 1;
  /// Force per mm of line at which the glued tab peels or its board tears.
  double strength_n_per_mm = 1;

  /// Empty, or one sentence: the value and what is allowed.
  std::string find_fault() const;
};

enum class Hold {
  hung,      ///< from strings: held up, free to move sideways
  standing,  ///< on a floor that grips: held in all directions
};

/// A point of a copy at which the construction is held.
struct Support {
  int panel = 0;  ///< number of the copy
  Vec3 point_mm = Vec3::Zero();
};

struct LoadCase {
  Hold hold = Hold::hung;
  Vec3 up = Vec3::UnitZ();  ///< unit vector against gravity, in the design's coordinates
  std::vector<Support> supports;
  double mass_kg_per_m2 = 0.6;
  GlueLine glue;
};

/// Hung from copies: at each copy's corner farthest up, where up points from the centre of gravity
/// to the copies; the construction then hangs so that the mean of these corners is above its centre
/// of gravity. Standing on copies: the corners of theirs that touch the floor (within 1 mm).
/// Throws std::invalid_argument for no copies, a number outside the design, or copies whose
/// directions cancel, so that no up can be told.
LoadCase make_load_case(const Design& design, Hold hold, const std::vector<int>& copies);

struct JointForce {
  int joint = 0;                ///< number in the design's list
  double peak_n_per_mm = 0;     ///< largest force per mm along the line
  Vec3 total_n = Vec3::Zero();  ///< from panels[1] on panels[0]
};

struct LoadResult {
  /// Empty when the construction is held in balance; else one sentence, and only weight_n counts.
  std::string fault;
  double weight_n = 0;
  std::vector<double> reactions_n;  ///< upward, by support; they add up to the weight
  double deflection_mm = 0;         ///< largest displacement of a corner, rigid sway left out
  int deflected_panel = 0;          ///< the copy with that corner
  std::vector<JointForce> joints;
  int worst_joint = -1;  ///< number of the joint with the largest peak; -1 without joints
  double reserve = 0;    ///< strength over the largest peak; 0 without joints
};

/// Throws std::invalid_argument when the load case does not fit the design or has a bad value.
LoadResult measure_load(const Design& design, const LoadCase& load_case);

}  // namespace sixtyfold
