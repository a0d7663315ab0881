#pragma once
// The cutting plan as pages: what to order, how the parts lie, how they are stacked and cut.

#include <vector>

#include "engine/building/purchase.h"
#include "results/drawings/page.h"

namespace sixtyfold {

std::vector<Page> make_cutting_pages(const Design& design, const Finished& finished,
                                     const Purchase& purchase, const PurchaseOptions& options,
                                     const Vec2& paper_mm);

}  // namespace sixtyfold
