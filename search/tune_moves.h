#pragma once
// The moves of tuning, on one placed outline: what its contacts are, dropping some of them, moving
// it a little. search/tune.h chooses among them.

#include <limits>
#include <vector>

#include "engine/variant.h"
#include "search/outcome.h"

namespace sixtyfold {

/// A placed outline, in millimetres, with its contacts told from coordinates alone as `check` does.
struct Placed {
  Variant variant;  ///< frame, outline, lines and joints; scale 1
  Polygon outline;
  std::vector<Polygon> holes;
  Vec2 hub = Vec2::Zero();  ///< inside the outline, away from its edge; the axis if it has one
  double crossing_mm = 0;  ///< longest
  int joints = 0, pieces = 0;
  double shortest_mm = 0, total_mm = 0, min_angle_deg = 180, max_angle_deg = 0;
};

/// What stays the same for the whole job.
struct TuneJob {
  OrbitScheme scheme;
  double radius_mm = 0;  ///< of the original outline about its hub
  Limits limits;            ///< eased to what the original breaks already
  Limits own_limits;
  double thickness_mm = 4;
};

/// How many contacts of each pair class stay, the longest first; -1: all.
using KeptContacts = std::vector<int>;

/// Six small moves and growth, each coordinate in [0, 1] with the middle at rest.
constexpr int move_count = 7;

struct MoveReach {
  double tilt_rad = 0.09, distance = 0.04, turn_rad = 0.12, shift = 0.05;  // shares of the radius
  double least_growth = -0.06, most_growth = 0.06;
};

/// Throws std::invalid_argument: several panel types, or copies that are not the symmetry's.
TuneJob make_tune_job(const Design& design, Placed& original);

/// Fills everything but outline, holes and hub.
void measure_placed(const TuneJob& job, const Frame& frame, Placed& placed);

/// The contacts of one pair class, longest first.
std::vector<PairJoint> find_class_joints(const Placed& placed, const PairClass& pair);

/// Drops what the structure does not keep. False when the hub or a hole is in the way.
bool apply_structure(const TuneJob& job, const KeptContacts& structure, const Placed& from,
                     Placed& to);

/// The limits that are cheap to look at.
bool is_within_limits(const TuneJob& job, const Placed& placed);

/// The outline moved and grown, its glued edges pushed out so that the new lines find material to
/// cut, and trimmed anew. False when that fails.
bool make_moved(const TuneJob& job, const Placed& original, const MoveReach& reach,
                const UnitPoint& moves, Placed& moved);

/// All structures worth a look: every class with joints kept, thinned to its longest contact or
/// dropped, while the rest still hangs together. Fewest joints first; at most `most`, and none with
/// fewer than `fewest` joints, which is known to be out of reach.
std::vector<KeptContacts> find_structures(const TuneJob& job, const Placed& placed, int fewest,
                                          std::size_t most);

inline bool is_rigid_wanted(const TuneJob& job) { return !job.limits.allow_flexible; }

}  // namespace sixtyfold
