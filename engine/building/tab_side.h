#pragma once
// Tabs out of sight where that costs nothing.

#include "engine/part/finished.h"

namespace sixtyfold {

/// A fold beyond it springs back and is hard to hold (common practice, no published source).
inline constexpr double most_comfortable_fold_deg = 105;

/// TabSide::inside when the construction then has no tab less, none on the hidden side folded
/// farther than is comfortable, no overlap of boards more, and goes together with no more hard or
/// sprung steps than with the shortest folds; else TabSide::shortest.
TabSide choose_tab_side(const Design& design, const FlatOptions& options);

}  // namespace sixtyfold
