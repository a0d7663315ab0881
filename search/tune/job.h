#pragma once
// The design to be tuned, as tuning sees it: one placed outline with its contacts, told from
// coordinates alone as `check` does.

#include <vector>

#include "engine/variant/variant.h"

namespace sixtyfold {

/// A placed outline, in millimetres, with its contacts.
struct Placed {
  Variant variant;  ///< frame, outline, lines and joints; scale 1
  Polygon outline;
  std::vector<Polygon> holes;
  Vec2 hub = Vec2::Zero();  ///< inside the outline, away from its edge; the axis if it has one
  double crossing_mm = 0;   ///< longest
  int joints = 0, pieces = 0;
  double shortest_mm = 0, total_mm = 0, min_angle_deg = 180, max_angle_deg = 0;
  double diameter_mm = 0;
};

/// What stays the same for the whole job.
struct TuneJob {
  OrbitScheme scheme;
  double radius_mm = 0;  ///< of the original outline about its hub
  Limits limits;         ///< eased to what the original breaks already
  Limits own_limits;
  double thickness_mm = 4;
  double room = 1;           ///< measure_room of the original, 1 at most
  std::vector<char> joined;  ///< by the scheme's pairs, whether the original has joints there
};

/// The outline's own symmetries as matrices about the origin of the frame, the identity first.
std::vector<Eigen::Matrix2d> find_own_turns(const OrbitScheme& scheme, const Frame& frame);

/// Throws std::invalid_argument: several panel types, or copies that are not the symmetry's.
TuneJob make_tune_job(const Design& design, Placed& original);

/// Fills everything but outline, holes and hub.
void measure_placed(const TuneJob& job, const Frame& frame, Placed& placed);

/// The contacts of one pair class, longest first.
std::vector<PairJoint> find_class_joints(const Placed& placed, const PairClass& pair);

/// The largest factor at which outline and tabs still fit the sheet and the largest diameter of the
/// job's limits: below 1 when they do not. From a bound of the tabs, each as deep as wanted.
double measure_room(const TuneJob& job, const Placed& placed);

/// The stiffness number of engine/structure/stiffness.h, by symmetry blocks.
double measure_placed_stiffness(const TuneJob& job, const Placed& placed);

/// All copies, all joints.
Design make_placed_design(const TuneJob& job, const Design& original, const Placed& placed);

inline bool is_rigid_wanted(const TuneJob& job) { return !job.limits.allow_flexible; }

}  // namespace sixtyfold
