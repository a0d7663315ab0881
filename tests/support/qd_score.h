#pragma once
// How good and how full an archive is, in one number.

#include "search/keep/archive.h"

namespace sixtyfold {

/// Sum over the filled cells of quality - offset (Pugh, Soros and Stanley 2016).
inline double measure_qd_score(const GridArchive& archive, double offset = 0) {
  double score = 0;
  for (const Trial& elite : archive.elites()) score += elite.outcome.quality - offset;
  return score;
}

}  // namespace sixtyfold
