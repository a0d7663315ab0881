#pragma once
// Slow and obvious checks of a nest by Boost.Geometry, an independent library.

#include "engine/nest/nest.h"

namespace sixtyfold::oracle {

struct NestFaults {
  double overlap_mm2 = 0;        ///< greatest area two parts share
  double least_gap_mm = 1e9;     ///< between two parts
  double least_margin_mm = 1e9;  ///< to the sheet's edges (and its first cuts)
};

NestFaults measure_nest(const Nest& nest, const Polygon& flat_pattern);

}  // namespace sixtyfold::oracle
