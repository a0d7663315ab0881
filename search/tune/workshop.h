#pragma once
// One change of a design after another, made and measured.

#include <array>
#include <optional>

#include "search/tune/goal.h"
#include "search/tune/limits.h"
#include "search/tune/moves.h"

namespace sixtyfold {

/// How a change is made, and what is known of it before the dear measures.
struct Change {
  int part = 0;     ///< number of the drawn part
  UnitPoint moves;  ///< none: the original as it stands
  KeptContacts structure;
  int joints = 0;
  std::vector<int> elements;  ///< of its joints
  Shortfalls missed;
  double overlap = 0;        ///< of the outlines as they lie
  double share = 0;          ///< of the original's stiffness
  double gain = 0;           ///< TuneGoal::measure_gain, as far as it is known cheaply
  std::vector<double> also;  ///< TuneGoal::measure_also, the same
};

/// What is to be kept, as shares.
struct Demands {
  double look = 0, stiffness = 0;
  double miss(const Change& change) const;
};

/// Why a change is no change.
enum class Loss { none, trimming, look, pieces, body, no_gain, limits, rigidity, count_ };
using Losses = std::array<int, static_cast<std::size_t>(Loss::count_)>;

/// What the refinement makes most of.
enum class Aim { goal, look };

/// The common ground of all changes of one job.
struct Workshop {
  const TuneJob& job;
  const Placed& original;
  const std::vector<DrawnPart>& parts;
  const TuneGoal& goal;
  MoveReach reach;
  double old_stiffness = 0;
  Score old_score;  ///< measured as that of changes is

  bool place(int part, const UnitPoint& moves, Placed& placed) const;
  bool build(const Change& change, Placed& built) const;
  /// Fills what is measured. limits: it is no construction, or misses limits by far.
  Loss measure(const Placed& placed, Change& change) const;
  double find_merit(const Change& change, Aim aim) const;
};

/// The numbers the search knows of a variant, of a placed outline as it stands: no limit turns it
/// down, holes are not looked at, and what only pictures, nests and orders tell is left out.
Score measure_placed_score(const TuneJob& job, const Placed& placed, const Taste& taste);

/// Overlap of two placed outlines, the second laid into the first's plane as it stands.
double measure_overlap_with(const Placed& a, const Placed& b);

}  // namespace sixtyfold
