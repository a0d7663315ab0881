#pragma once
// Changing a design that someone likes as little as serves a purpose: fewer joints, or more
// stiffness.
//
// The search works on structure and on numbers at once. Structure: for each class of contacts,
// whether it is kept, kept in its longest segment alone, or dropped by pulling the outline back
// from the meeting line until there is clearance; one more neighbour that the outline reaches out
// for; which copy of a pair is cut back for the other. Numbers: small turns and shifts of the plane
// and of the outline in it, growth, and shifts of the outline's control points; the outline is then
// trimmed anew, and the best are refined with NLopt under all limits. A joint counts in the whole
// construction: dropping one class {g, g^-1} saves all its joints at once.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/variant/inspection.h"
#include "search/run/evaluator.h"
#include "search/space/criterion.h"
#include "search/tune/least_joints.h"
#include "search/tune/look_overlap.h"

namespace sixtyfold {

enum class TunePurpose { joints, stiffness };

struct TuneOptions {
  TunePurpose purpose = TunePurpose::joints;
  std::vector<const Criterion*> also;  ///< decide, in order, between variants that serve it equally
  Taste taste;                         ///< of whom the appeal is, where `also` names it
  double keep_look = 0.8;              ///< least LookOverlap::kept(), in [0, 1]
  double keep_stiffness = 0.5;         ///< least share of the original's stiffness, in [0, 10]
  int placings = 1000;                 ///< slightly moved placings tried in each round, 0 to 100000
  int count = 6;                       ///< variants wanted, 1 to 100
  int refinements = 6;  ///< structures that are refined, each for stiffness and for look, 0 to 100
  std::uint64_t seed = 1;

  /// Empty when they make sense, else one sentence.
  std::string find_fault() const;
};

struct TunedVariant {
  Design design;  ///< with joints, score and limits; limits as the original's
  LookOverlap look;
  double stiffness_share = 0;          ///< of the original's; 0 when the original has none
  std::optional<double> drawing_kept;  ///< see measure_drawing_kept
  /// Why it can not be built under its limits: what the original breaks, too; else empty.
  std::vector<std::string> faults;
  /// What was done and what it changed, one sentence each.
  std::vector<std::string> steps;
};

/// One point of the trade-off: what so many joints can still keep.
struct TradeOffPoint {
  int joints = 0;
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
  double reach_mm = 0;                 ///< how far the outline may reach out for a line in reach
  int least_anywhere = 0;              ///< over all pairs: no plane of this kind has fewer
  bool proved_least = false;           ///< the original's joints are as few as least or fewer
  std::vector<TunedVariant> variants;  ///< best first; empty when nothing serves the purpose
  /// Of all that meet the other limits those that none beats in joints, stiffness and look at
  /// once, whatever share is kept; the original first.
  std::vector<TradeOffPoint> curve;
  std::vector<std::string> notes;  ///< limits the original breaks, steps that are possible at all
  std::string why_none;            ///< when there is no variant: which limit prevents it
};

/// The same design and options give the same result at any number of threads.
/// Throws std::invalid_argument: options with a fault, several panel types, copies that are not
/// those of the design's symmetry, panels that collide.
TuneResult tune(const Design& design, const TuneOptions& options, Evaluator& evaluator);

/// Of a design made of a drawing that lay in its panel's plane: tells for it and for each variant
/// which share of the drawing is part of it still, laid over it as well as it goes.
void measure_drawing_kept(const Polygon& drawn_mm, TuneResult& result);

}  // namespace sixtyfold
