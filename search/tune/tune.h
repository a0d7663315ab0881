#pragma once
// Changing a design that someone likes as little as serves a purpose: fewer joints, more stiffness,
// or any other criterion of find, several with weights.
//
// The search works on structure and on numbers at once. Structure: for each class of contacts,
// whether it is kept, kept in its longest segment alone, or dropped by pulling the outline back
// from the meeting line until there is clearance; one more neighbour that the outline reaches out
// for; which copy of a pair is cut back for the other. Numbers: small turns and shifts of the plane
// and of the outline in it, growth, and shifts of the outline's control points; the outline is then
// trimmed anew, from what was drawn where that is known, and the best are refined with NLopt under
// all limits. A joint counts in the whole construction: dropping one class {g, g^-1} saves all its
// joints at once.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/variant/inspection.h"
#include "search/run/evaluator.h"
#include "search/tune/changes.h"
#include "search/tune/goal.h"
#include "search/tune/least_joints.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {

struct TuneOptions {
  TuneGoal goal;                ///< without weights: fewer joints
  double keep_look = 0.8;       ///< least LookOverlap::kept(), in [0, 1]
  double keep_stiffness = 0.5;  ///< least share of the original's stiffness, in [0, 10]
  int placings = 2000;          ///< slightly moved placings tried in each round, 0 to 1000000
  int count = 6;                ///< variants wanted, 1 to 100
  int refinements = 6;    ///< structures that are refined, for the goal and for look, 0 to 100
  int evaluations = 500;  ///< of one refinement, 1 to 1000000
  std::uint64_t seed = 1;
  Polygon drawn_mm;  ///< what the panel was trimmed from, in its plane, where that is known

  /// Empty when they make sense, else one sentence.
  std::string find_fault() const;
};

/// Placings and evaluations for about so many changes in all.
void set_budget(std::uint64_t changes, TuneOptions& options);
/// Changes that the options as they are try at most.
std::uint64_t find_budget(const TuneOptions& options);

struct TunedVariant {
  Design design;  ///< with joints, score and limits; limits as the original's
  LookOverlap look;
  double stiffness_share = 0;          ///< of the original's; 0 when the original has none
  double gain = 0;                     ///< TuneGoal::measure_gain, at least least_gain
  std::optional<double> drawing_kept;  ///< see measure_drawing_kept
  /// Why it can not be built under its limits: what the original breaks, too; else empty.
  std::vector<std::string> faults;
  /// What was done and what it changed, one sentence each.
  std::vector<std::string> steps;
};

/// One point of the trade-off: what a gain can still keep.
struct TradeOffPoint {
  int joints = 0;
  double gain = 0;  ///< TuneGoal::measure_gain
  double stiffness_share = 0, look = 0;
  bool within = false;  ///< meets keep_look and keep_stiffness
  bool chosen = false;  ///< one of the variants
};

struct TuneResult {
  TuneOptions asked;
  Inspection before;
  std::optional<double> drawing_kept;  ///< of the original
  /// Over the meeting lines in reach of the outline in its plane as it stands, at plane angles that
  /// the limits allow. A plane that is turned may have others in reach.
  LeastJoints least;
  double reach_mm = 0;        ///< how far the outline may reach out for a line in reach
  int least_anywhere = 0;     ///< over all pairs: no plane of this kind has fewer
  bool proved_least = false;  ///< the original's joints are as few as least or fewer
  /// Best first; empty when nothing serves the purpose. Nothing that was confirmed in the run beats
  /// one of them in gain, stiffness and look at once, with what `also` names no worse.
  std::vector<TunedVariant> variants;
  /// The original first; all that were confirmed and none beats; and of those that miss what is to
  /// be kept, as far as they were measured, the ones that none beats.
  std::vector<TradeOffPoint> curve;
  std::vector<std::string> notes;  ///< limits the original breaks, steps that are possible at all
  std::string why_none;            ///< when there is no variant: which limit prevents it
};

/// The same design and options give the same result at any number of threads.
/// Throws std::invalid_argument: options with a fault, several panel types, copies that are not
/// those of the design's symmetry, panels that collide.
/// `go_on` is asked all the time, by one worker at once, and told of progress between rounds;
/// without its leave it ends with what it has, of which the best is checked still.
TuneResult tune(
    const Design& design, const TuneOptions& options, Evaluator& evaluator,
    const GoOn& go_on = [](const TuneProgress&) { return true; });

/// Of a design made of a drawing that lay in its panel's plane: tells for it and for each variant
/// which share of the drawing is part of it still, laid over it as well as it goes.
void measure_drawing_kept(const Polygon& drawn_mm, TuneResult& result);

}  // namespace sixtyfold
