#pragma once
// Room between the finished parts: board has thickness and tabs, which the mid-surfaces that the
// moves of tuning look at have not.

#include <string>

#include "search/tune/job.h"

namespace sixtyfold {

/// Cuts the outline back, a little at a time, where the finished part (with its thickness and its
/// tabs) runs into a copy that it is not joined to or comes nearer than the thickness. The joints
/// stay the same ones, some shorter. Empty when there is room now, else what is in the way;
/// `placed` is then as far as it got.
std::string mend_clearance(const TuneJob& job, const Design& original, Placed& placed);

}  // namespace sixtyfold
