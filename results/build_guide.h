#pragma once
// The build guide: how one module goes together, then the order of the modules, a drawing and tick boxes
// for every step.

#include <string>
#include <vector>

#include "results/assembly.h"
#include "results/kit_template.h"

namespace sixtyfold {

struct GuideOptions {
  Paper paper = Paper::a4;
  std::vector<int> colour_of;            ///< of each copy, from 0; empty: not coloured
  std::vector<std::string> colour_names;
};

std::vector<Page> make_guide_pages(const Design& design, const Finished& finished, const AssemblyPlan& plan,
                                   const GuideOptions& options);

/// The pages as one HTML document that needs nothing else; text stays text.
std::string make_pages_html(const std::string& title, const std::vector<Page>& pages);

struct CopiesPicture {
  std::vector<int> shown;   ///< copies
  std::vector<int> fresh;   ///< of these, the ones in a strong colour
  bool numbers = false;     ///< on the fresh ones
  bool close_up = false;    ///< fills the box; else the camera stands as for the whole construction
};
/// The copies seen in perspective from the side of what is fresh.
void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture);

/// Cautions for everything that can hurt, one sentence each; they defer to local rules and a competent
/// person.
std::vector<std::string> find_build_cautions();

}  // namespace sixtyfold
