#pragma once
// The designs of a gallery as its pages show them: measured afresh.

#include "results/gallery/folder.h"
#include "tools/options/limit_options.h"

namespace sixtyfold {

/// The pages show what is measured here, not what a file says of itself: limits as changed, scores,
/// and in `page` the faults, the price and how cutting is reckoned. False where a design's geometry
/// forbids to go on; that is told on standard error.
bool measure_gallery(GalleryFolder& source, const LimitChanges& changes, GalleryOptions& page);

/// What the page says of price and cutting follows from the limits.
void set_page_by_limits(const Limits& limits, GalleryOptions& page);

}  // namespace sixtyfold
