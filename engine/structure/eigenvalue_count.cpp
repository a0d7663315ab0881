#include "engine/structure/eigenvalue_count.h"

#include <algorithm>
#include <cmath>

#include "engine/lanes.h"

namespace sixtyfold {

// Of each row only what stands from the diagonal on is used, and for whole fours a little to the
// left of it.
SIXTYFOLD_LANES
int count_eigenvalues_below(const double* matrix, int size, double x, double* scratch) {
  const int end = std::min((size + 3) / 4 * 4, block_stride);
  double largest = 0;
  for (int i = 0; i < size; ++i) {
    const double* const from = matrix + i * block_stride;
    double* const to = scratch + i * block_stride;
    std::copy(from, from + size, to);
    for (int j = size; j < end; ++j) to[j] = 0;
    to[i] -= x;
    largest = std::max(largest, std::abs(from[i]));
  }
  int below = 0;
  for (int k = 0; k < size; ++k) {
    const double* const pivot_row = scratch + k * block_stride;
    const double pivot = pivot_row[k];
    // What rounding has left in it is then more than a millionth.
    if (!(std::abs(pivot) > 1e-10 * largest)) return -1;
    below += pivot < 0;
    const double inverse = 1 / pivot;
    for (int i = k + 1; i < size; ++i) {
      const Four factor = Four{} + pivot_row[i] * inverse;
      double* const row = scratch + i * block_stride;
      for (int j = i / 4 * 4; j < end; j += four) {
        Four a, b;
        load(row + j, a), load(pivot_row + j, b);
        store(a - factor * b, row + j);
      }
    }
  }
  return below;
}

}  // namespace sixtyfold
