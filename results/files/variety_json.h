#pragma once
// How varied a gallery is, for machines.

#include <string>
#include <vector>

#include "search/choose/variety.h"

namespace sixtyfold {

/// One JSON object: designs per symmetry group, the smallest difference between two of them and the
/// same of as many finds by quality alone, and how the archive filled up (share of cells, by
/// variants scored).
std::string write_variety_json(const Variety& variety, const std::vector<CurveRow>& curve);

}  // namespace sixtyfold
