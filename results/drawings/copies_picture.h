#pragma once
// Some copies of a design in perspective on a page: the pictures of the build guide and the colour
// plan.

#include <optional>
#include <utility>
#include <vector>

#include "engine/part/finished.h"
#include "results/drawings/page.h"

namespace sixtyfold {

/// Where the eye stands: outside, about as high as a person's, on the side of what is fresh; or
/// straight out from the centre through what is fresh, which is along a module's own axis.
enum class LookFrom { beside, own_axis };

struct CopiesPicture {
  std::vector<int> shown;      ///< copies
  std::vector<int> fresh;      ///< of these, the ones in a strong colour
  std::vector<int> named;      ///< neighbours whose numbers are told, too
  std::vector<int> colour_of;  ///< of every copy, a number of panel_colours; empty: uncoloured
  LookFrom look_from = LookFrom::beside;
  bool numbers = false;   ///< on the fresh ones
  bool close_up = false;  ///< fills the box; else the camera stands as for the whole construction
  bool near = false;      ///< close up on the fresh and named ones alone, the rest cut at the box
  bool mirrored = false;  ///< the picture of the mirror image, without its numbers
  std::vector<std::pair<Vec3, Vec3>> glued_mm;  ///< lines to mark over everything, in space
  std::optional<Vec3> push;        ///< unit; an arrow from outside, against it, to the fresh ones
  const Finished* tabs = nullptr;  ///< given: the folded tabs are drawn, too
};

/// The copies seen in perspective from the side of what is fresh. Without fresh ones, all have
/// their colours. Of some places for the eye that one is taken from which most of the fresh and
/// named ones can be told.
void draw_copies(Page& page, const Box& box, const Design& design, const CopiesPicture& picture);

}  // namespace sixtyfold
