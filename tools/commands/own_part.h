#pragma once
// `tune --outline`: a person's own part, read, placed and told about.

#include <string>

#include "results/files/outline_svg.h"
#include "search/run/run_context.h"
#include "search/tune/find_place.h"

namespace CLI {
class App;
}

namespace sixtyfold {

/// What was typed.
struct OwnPartChoice {
  std::string outline;  ///< the SVG file; empty: a design file is given
  PlaceWish wish;
  SvgReadOptions reading;
  bool place_only = false;
};

/// Adds --outline and the options that go with it, in a group of their own.
void add_own_part_options(CLI::App& command, OwnPartChoice& choice);

/// The first of those options that was typed beside --outline; empty when none was.
std::string find_own_part_option(const CLI::App& command);

/// How the search for a place is run.
struct PlaceRun {
  PlaceOptions options;
  double time_limit_s = 0;  ///< of the context's clock; 0: none
  bool quiet = false;
};

struct OwnPartPlace {
  OwnPart part;
  FoundPlace place;
};

/// Reads the part and finds its place; nothing when there is none, which is then told. What came of
/// it is told on standard output, the worst first. Throws std::invalid_argument: no such file, no
/// part that can be used, numbers that make no sense.
std::optional<OwnPartPlace> place_own_part(const OwnPartChoice& choice, const Limits& limits,
                                           const PlaceRun& run, Evaluator& evaluator,
                                           const RunContext& context);

}  // namespace sixtyfold
