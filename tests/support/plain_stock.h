#pragma once
// The slow reference of engine/nest/profile_fit.h: all rows are counted, without bounds.

#include <vector>

#include "engine/nest/profile_fit.h"

namespace sixtyfold::plain {

Interlocked find_interlocked(const std::vector<Segment>& border,
                             const std::vector<Vec2>& directions, const Sheet& sheet);

}  // namespace sixtyfold::plain
