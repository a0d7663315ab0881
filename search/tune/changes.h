#pragma once
// The search of tuning: placings, structures and refinements, round by round.

#include <cstdint>
#include <functional>

#include "search/run/evaluator.h"
#include "search/tune/workshop.h"

namespace sixtyfold {

struct TuneProgress {
  std::uint64_t tried = 0;  ///< changes
  std::uint64_t all = 0;    ///< of those planned
  int kept = 0;             ///< that keep what is to be kept
};
using GoOn = std::function<bool(const TuneProgress&)>;

struct ChangeOptions {
  int placings = 1000;    ///< slightly moved placings in each round
  int refinements = 6;    ///< structures that are refined, each for the goal and for the look
  int evaluations = 250;  ///< of one refinement
  int fewest_joints = 0;  ///< fewer are known to be out of reach
  std::uint64_t seed = 1;
};

/// What the rounds of placing and refining found.
struct Found {
  std::vector<Change> all;  ///< that miss no limit by far, the best few of each kind
  Losses losses{};
  std::uint64_t tried = 0;  ///< structures of placings, and changes of refinements
  bool ended = false;       ///< by `go_on`, before all was done
  TuneProgress progress;
};

/// `parts` grows by what the best of a round make possible. Ends early when
/// `go_on` says no, which is asked all the time, by one worker at once.
Found find_changes(const Workshop& shop, const Demands& demands, const ChangeOptions& options,
                   std::vector<DrawnPart>& parts, Evaluator& evaluator, const GoOn& go_on);

/// In the order in which they are worth a close look: what nothing beats in gain, `also`, stiffness
/// and look at once before what only that beats, and so on; all that meet the demands alone.
std::vector<Change> find_ranked(const std::vector<Change>& all, const Demands& demands,
                                std::size_t most);

/// Whether a change is as good as another in everything and better in something.
bool is_beaten(const Change& change, const Change& by);

/// Of those that serve the goal the best by the demands, then by the goal; null when none does.
const Change* find_nearest(const Workshop& shop, const std::vector<Change>& all,
                           const Demands& demands);

}  // namespace sixtyfold
