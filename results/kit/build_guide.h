#pragma once
// The build guide: how one module goes together, then the order of the modules, a drawing and tick
// boxes for every step.

#include <string>
#include <vector>

#include "engine/building/assembly.h"
#include "engine/building/closure.h"
#include "results/kit/colour_pages.h"
#include "results/kit/kit_template.h"

namespace sixtyfold {

struct GuideOptions {
  Paper paper = Paper::a4;
  ColourScheme colours;                   ///< one colour: not coloured
  ReachOptions reach;                     ///< as used in the plan
  ClosureOptions tolerance;               ///< as used for the closure
  std::vector<std::string> limit_faults;  ///< told on the first page
};

std::vector<Page> make_guide_pages(const Design& design, const Finished& finished,
                                   const AssemblyPlan& plan, const Closure& closure,
                                   const GuideOptions& options);

/// Cautions for everything that can hurt, one sentence each; they defer to local rules and a
/// competent person.
std::vector<std::string> find_build_cautions();

}  // namespace sixtyfold
