#pragma once
// The rigging drawing: from the side and from above, with the holes and the lines' lengths.

#include "engine/building/rigging.h"
#include "results/drawings/page_flow.h"

namespace sixtyfold {

/// Drawing, table and words, where the flow stands.
void draw_rigging(PageFlow& flow, const Design& design, const Rigging& rigging,
                  const RiggingOptions& options);

/// "A", "B" ... of the points, as on the drawing, the table and the template.
std::string name_rig_point(int number);

}  // namespace sixtyfold
