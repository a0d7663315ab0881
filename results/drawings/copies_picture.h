#pragma once
// Some copies of a design in perspective on a page: the pictures of the build guide and the colour
// plan.

#include <optional>
#include <utility>
#include <vector>

#include "engine/design.h"
#include "results/drawings/page.h"

namespace sixtyfold {

struct CopiesPicture {
  std::vector<int> shown;      ///< copies
  std::vector<int> fresh;      ///< of these, the ones in a strong colour
  std::vector<int> colour_of;  ///< of every copy, a number of panel_colours; empty: uncoloured
  bool numbers = false;        ///< on the fresh ones
  bool close_up = false;  ///< fills the box; else the camera stands as for the whole construction
  bool mirrored = false;  ///< the picture of the mirror image, without its numbers
  std::vector<std::pair<Vec3, Vec3>> glued_mm;  ///< lines to mark over everything, in space
  std::optional<Vec3> push;  ///< unit; an arrow from outside, against it, to the fresh ones
};

/// The copies seen in perspective from the side of what is fresh. Without fresh ones, all have
/// their colours.
void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture);

}  // namespace sixtyfold
