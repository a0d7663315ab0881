#pragma once
// Whether what a file says was found can have been found by the task it names.

#include <string>

#include "search/run/stream.h"

namespace sixtyfold {

/// Empty, or one sentence. Looks at every value that later steps rely on: branches that exist,
/// points of their branch's dimension within [0, 1], outcomes that are sound, counts that add up.
std::string find_pool_fault(const SearchTask& task, const Pool& pool);

}  // namespace sixtyfold
