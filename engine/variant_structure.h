#pragma once
// A variant as its stiffness sees it.

#include "engine/structure/block_stiffness.h"
#include "engine/variant.h"

namespace sixtyfold {

/// Blocks for the scheme's group and the panel's own symmetry: once for a scheme, then shared.
SymmetryBlocks make_symmetry_blocks(const OrbitScheme& scheme);

/// P's body and one joint of each orbit, in the drawn unit (the stiffness number has no unit);
/// contacts too short to glue are left out. The variant must have come as far as its joints.
/// `structure` is reused.
void make_symmetric_structure(const OrbitScheme& scheme, const Variant& variant,
                              SymmetricStructure& structure);

}  // namespace sixtyfold
