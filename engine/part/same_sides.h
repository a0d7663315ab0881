#pragma once
// Whether it matters which way up a part lies.

#include "engine/part/finished.h"

namespace sixtyfold {

enum class SameSides {
  no,
  blank,  ///< until it is folded: the cut is its own mirror image, the folds are not turned over
  part    ///< turned over it is the same part, folds and all
};

/// By the flat pattern's outline and holes within half a millimetre, and by the sides its tabs are
/// folded to.
SameSides find_same_sides(const FinishedPart& part);

}  // namespace sixtyfold
