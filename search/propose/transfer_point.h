#pragma once
// A point of one branch taken over into another.

#include <cmath>

#include "search/space/parameter_space.h"

namespace sixtyfold {

class RandomStream;

/// Folded back into [0, 1] at the walls.
inline double reflect(double value) {
  value = std::fabs(std::fmod(value, 2.0));
  return value > 1 ? 2 - value : value;
}

/// Values that go by the same name are kept, changed by `spread` (standard deviation of the unit
/// coordinate) and folded back at the walls; the others are those of `base`, a point of `to`, or
/// random when there is none.
UnitPoint transfer_point(const Branch& from, const UnitPoint& point, const Branch& to,
                         const UnitPoint* base, double spread, RandomStream& random);

}  // namespace sixtyfold
