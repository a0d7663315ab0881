#pragma once
// A place for a person's own part: where in space its copies meet so that the construction works
// and as little of the drawing as possible is cut off.
//
// Random places first, then the best of them climb (search/propose/refine.h), are shaken and climb
// again. A place is judged by the stages of engine/variant/variant.h; the best are checked afresh
// from their coordinates alone.

#include <cstdint>
#include <functional>
#include <optional>

#include "engine/variant/inspection.h"
#include "search/run/evaluator.h"
#include "search/tune/place_part.h"

namespace sixtyfold {

/// What is given stays as it is; the rest is searched. A scale that is searched is 1 where that
/// works.
struct PlaceWish {
  std::string symmetry = "I";
  std::optional<Vec3> normal;
  std::optional<double> distance_mm, scale, turn_deg;
  std::optional<Vec2> shift_mm;  ///< not given and all others are: none

  bool is_all_given() const { return normal && distance_mm && scale && turn_deg; }
};

struct PlaceOptions {
  std::uint64_t budget = 100000;  ///< places tried, 1000 to 1e9
  std::uint64_t seed = 1;
};

struct PlaceProgress {
  std::uint64_t tried = 0, fitting = 0;  ///< places; those that kept all limits
  double kept = 0;                       ///< most of the drawing among those
};

struct FoundPlace {
  PartPlacing placing;
  PlacedPart part;
  Inspection inspection;  ///< of the part's design; its faults say why it is no good
  PlaceProgress progress;
  std::vector<std::string> refused;  ///< by the check, first fault each
  /// Faults that the given numbers cause by themselves, and what to do; one sentence each.
  std::vector<std::string> advice;
};

/// The place where most is kept among those that pass the check; of those that keep nearly as much
/// one that goes together without hard steps. Where none passes, the one that is nearest to it.
/// Nothing when no place that was tried makes a design, or none was tried. The same at any
/// number of threads. `go_on` is asked all the time, by one worker at once, and told of progress
/// between rounds; without its leave the search ends early. `why_none`: why there is none, a
/// clause. Throws std::invalid_argument: numbers or a symmetry that make no sense.
std::optional<FoundPlace> find_place(const OwnPart& part, const PlaceWish& wish,
                                     const Limits& limits, const PlaceOptions& options,
                                     Evaluator& evaluator,
                                     const std::function<bool(const PlaceProgress&)>& go_on,
                                     std::string* why_none = nullptr);

}  // namespace sixtyfold
