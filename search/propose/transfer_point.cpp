#include "search/propose/transfer_point.h"

#include "engine/random.h"

namespace sixtyfold {

UnitPoint transfer_point(const Branch& from, const UnitPoint& point, const Branch& to,
                         const UnitPoint* base, double spread, RandomStream& random) {
  UnitPoint brought(to.parameters.size());
  for (std::size_t k = 0; k < brought.size(); ++k) {
    brought[k] = base ? (*base)[k] : random.uniform();
    for (std::size_t i = 0; i < from.parameters.size(); ++i)
      if (from.parameters[i].name == to.parameters[k].name)
        brought[k] = spread > 0 ? reflect(point[i] + spread * random.normal()) : point[i];
  }
  return brought;
}

}  // namespace sixtyfold
