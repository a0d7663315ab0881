#pragma once
// Tabs out of sight where that costs nothing.

#include "engine/part/finished.h"

namespace sixtyfold {

/// TabSide::inside when the construction then has no tab less, no overlap of boards more, and goes
/// together with no more hard or sprung steps than with the shortest folds; else
/// TabSide::shortest. The rest of the options stays as given.
TabSide choose_tab_side(const Design& design, const FlatOptions& options);

}  // namespace sixtyfold
