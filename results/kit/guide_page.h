#pragma once
// The build guide as one page that turns: the model, step by step, with ticks.

#include <string>
#include <vector>

#include "results/gallery/words.h"
#include "results/kit/build_guide.h"

namespace sixtyfold {

struct GuidePageOptions {
  GalleryWords words = read_gallery_words("en");
  int teams = 4;  ///< as the page begins; its reader changes it
  GuideOptions guide;
};

/// A complete HTML document that asks nothing of any network. Its steps are the plan's: the panels
/// of each module one after another, the modules one after another, at last the glue for what was
/// left dry. `paper`: the pages of make_guide_pages, which it prints. Ticks are kept by the
/// browser under the design's hash. Same input, same bytes.
std::string make_guide_page(const Design& design, const Finished& finished,
                            const AssemblyPlan& plan, const Closure& closure,
                            const std::vector<Page>& paper, const GuidePageOptions& options);

}  // namespace sixtyfold
