#pragma once
// What of a variant's looks takes pictures: too dear for every variant, cheap for what may be
// listed.

#include "engine/appeal/sight.h"
#include "engine/variant/variant.h"

namespace sixtyfold {

/// Adds see_through and legibility to the score of a variant that is ok, and makes its appeal
/// whole.
void complete_looks(const OrbitScheme& scheme, const Taste& taste, SightWorkspace& work,
                    Variant& variant);

}  // namespace sixtyfold
