#pragma once
// The moves of tuning, on one placed outline: dropping contacts, and moving the plane and the
// outline a little and trimming anew. search/tune/tune.h chooses among them.

#include <string>
#include <vector>

#include "engine/contact/trim.h"
#include "search/space/outcome.h"
#include "search/tune/job.h"

namespace sixtyfold {

/// How many contacts of each pair class stay, the longest first; -1: all.
using KeptContacts = std::vector<int>;

/// Thicknesses between boards whose joint was given up: a gap that looks meant, no slit.
inline constexpr double meant_gap = 3;
inline constexpr double gap_doubt_mm = 0.5;  ///< of measuring it

/// Drops what the structure does not keep: the outline is pulled back until there is that gap. So
/// it is where copies come near without being joined; sharp tips are cut off square. False when the
/// hub or a hole is in the way.
bool apply_structure(const TuneJob& job, const KeptContacts& structure, const Placed& from,
                     Placed& to);

/// Pulls the outline back where a joint of the original is gone and less than `meant_gap` is left.
/// False when the hub, a hole or another joint is in the way.
bool widen_openings(const TuneJob& job, const Placed& original, Placed& placed);

/// All structures worth a look: every class with joints kept, thinned to its longest contact or
/// dropped, while the rest still hangs together. Fewest joints first; at most `most`, and none with
/// fewer than `fewest` joints, which is known to be out of reach.
std::vector<KeptContacts> find_structures(const TuneJob& job, const Placed& placed, int fewest,
                                          std::size_t most);

/// A place on a panel's face along which the panel is cut, so that the copy whose edge lay there
/// is the one that passes through.
struct SeatCut {
  int element = 0;          ///< whose meeting line
  double from = 0, to = 0;  ///< along it
  bool above = false;       ///< the material that stays lies on the line's `side`
};

/// What trimming starts from: the outline in its plane, with some material past its
/// glued edges, so that moved lines find material to cut.
struct DrawnPart {
  Frame frame;
  Polygon outline;
  std::vector<Polygon> holes;
  Vec2 hub = Vec2::Zero();
  std::vector<Vec2> handles;  ///< points of the outline that can be pulled at
  std::vector<SeatCut> cuts;  ///< made before trimming
  TrimStyle style = TrimStyle::lean;
  std::string change;  ///< one sentence; empty for the part as it is
};

/// Handles of a part.
constexpr int handle_count = 6;

/// Two turns of the plane, its distance, turn and two shifts of the outline in it, growth, and a
/// shift for each handle. Each coordinate lies in [0, 1] with the middle at rest.
constexpr int move_count = 7 + 2 * handle_count;

/// How far each move goes; lengths are shares of the radius.
struct MoveReach {
  double tilt_rad = 0.09, distance = 0.04, turn_rad = 0.12, shift = 0.05;
  double least_growth = -0.06, most_growth = 0.06;
  double handle = 0.07;
};

/// Moves `point` as the handles at `handles` do that are shifted by `shifts`: each carries its
/// neighbourhood along, less with distance (a Gaussian of 0.35 radii), and so do its images under
/// the outline's own symmetries, `turns`.
Vec2 make_pulled(const TuneJob& job, const std::vector<Eigen::Matrix2d>& turns,
                 const std::vector<Vec2>& handles, const std::vector<Vec2>& shifts,
                 const Vec2& point);

/// The part moved and trimmed anew, and made smaller as a whole where it would outgrow the sheet or
/// the largest diameter. False when that fails.
bool make_moved(const TuneJob& job, const DrawnPart& part, const MoveReach& reach,
                const UnitPoint& moves, Placed& moved);

}  // namespace sixtyfold
