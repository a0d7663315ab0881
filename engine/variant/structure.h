#pragma once
// A variant as its stiffness sees it.

#include "engine/structure/block_stiffness.h"
#include "engine/variant/variant.h"

namespace sixtyfold {

/// P's body and one joint of each orbit; contacts too short to glue are left out. The variant must
/// have come as far as its scale; `outline_mm` is its outline at that scale. `structure` is reused.
void make_symmetric_structure(const OrbitScheme& scheme, const Variant& variant,
                              const Polygon& outline_mm, SymmetricStructure& structure);

}  // namespace sixtyfold
