#include "engine/structure/tridiagonal.h"

#include <algorithm>
#include <cmath>

#include "engine/lanes.h"

namespace sixtyfold {
namespace {

constexpr double smallest_pivot = 1e-290;

double sum_lanes(const Four& lanes) { return (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]); }

}  // namespace

// Vectors and matrix are filled up with zeros to whole fours.
SIXTYFOLD_LANES
void reduce_to_tridiagonal(double* matrix, int size, Tridiagonal& result) {
  result.size = size;
  alignas(64) double v[block_stride], p[block_stride];
  for (int i = 0, all = (size + 3) / 4 * 4; i < all; ++i)
    for (int j = i < size ? size : 0; j < all; ++j) matrix[i * block_stride + j] = 0;
  for (int k = size - 1; k > 0; --k) {
    double* const row = matrix + k * block_stride;
    const int end = std::min((k + 3) / 4 * 4, block_stride);
    const double last = row[k - 1];
    result.diagonal[k] = row[k];
    for (int j = k - 1; j < end; ++j) row[j] = 0;
    Four squares{};
    for (int j = 0; j < end; j += four) {
      Four x;
      load(row + j, x), store(x, v + j);
      squares += x * x;
    }
    const double rest = sum_lanes(squares);  // what is to vanish
    const double squared = rest + last * last;
    result.beside_squared[k] = squared;
    if (rest == 0) continue;
    const double norm = std::copysign(std::sqrt(squared), last);
    v[k - 1] = last + norm;
    const double half = squared + last * norm;  // |v|^2 / 2

    // p = matrix v / half, four rows at a time.
    for (int j = 0; j < end; j += four) {
      Four sum{};
      const double* column = matrix + j;
      for (int i = 0; i < end; i += four, column += four * block_stride) {
        Four a, b, c, d;
        load(column, a), load(column + block_stride, b);
        load(column + 2 * block_stride, c), load(column + 3 * block_stride, d);
        sum += (v[i] * a + v[i + 1] * b) + (v[i + 2] * c + v[i + 3] * d);
      }
      store(sum, p + j);
    }
    for (int j = k; j < end; ++j) p[j] = 0;
    const double inverse = 1 / half;
    Four products{};
    for (int j = 0; j < end; j += four) {
      Four x, y;
      load(v + j, x), load(p + j, y);
      y *= inverse;
      store(y, p + j);
      products += x * y;
    }
    const double share = sum_lanes(products) * (0.5 * inverse);
    for (int j = 0; j < end; j += four) {
      Four x, y;
      load(v + j, x), load(p + j, y);
      store(y - share * x, p + j);
    }
    for (int i = 0; i < end; i += four) {
      double* const target = matrix + i * block_stride;
      for (int j = 0; j < end; j += four) {
        Four x, y;
        load(v + j, x), load(p + j, y);
        for (int r = 0; r < four; ++r) {
          Four to;
          load(target + r * block_stride + j, to);
          store(to - (v[i + r] * y + p[i + r] * x), target + r * block_stride + j);
        }
      }
    }
  }
  result.diagonal[0] = matrix[0];
  result.beside_squared[0] = 0;
}

int count_eigenvalues_below(const Tridiagonal& matrix, double x) {
  int count = 0;
  double pivot = 1;
  for (int i = 0; i < matrix.size; ++i) {
    pivot = matrix.diagonal[i] - x - matrix.beside_squared[i] / pivot;
    if (std::abs(pivot) < smallest_pivot) pivot = -smallest_pivot;
    count += pivot < 0;
  }
  return count;
}

namespace {

constexpr int points = 2 * four;

/// For several x at once, whose sequences run side by side so that a division's latency is paid
/// once for all: how many eigenvalues lie below, and the last pivot, which falls through 0 at each.
SIXTYFOLD_LANES
void count_below(const Tridiagonal& matrix, const double* x, double* below, double* last) {
  const Four zero{}, one = zero + 1, least = zero + smallest_pivot;
  Four x_low, x_high, low = one, high = one, low_count{}, high_count{};
  load(x, x_low), load(x + four, x_high);
  for (int i = 0; i < matrix.size; ++i) {
    const double diagonal = matrix.diagonal[i], beside = matrix.beside_squared[i];
    low = (diagonal - x_low) - beside / low;
    high = (diagonal - x_high) - beside / high;
    low = (low < least) & (low > -least) ? -least : low;
    high = (high < least) & (high > -least) ? -least : high;
    low_count += low < zero ? one : zero;
    high_count += high < zero ? one : zero;
  }
  store(low_count, below), store(high_count, below + four);
  store(low, last), store(high, last + four);
}

}  // namespace

double find_eigenvalue(const Tridiagonal& matrix, int index, double low, double high) {
  double low_pivot = 0, high_pivot = 0;  // unknown
  bool slow = true;
  for (int round = 0; round < 60; ++round) {
    const double width = high - low;
    if (!(width > 2e-13 * std::max(std::abs(low), std::abs(high)))) break;
    double x[points], below[points], last[points];
    // The last pivot is nearly straight near its zero: trial points close in on where a straight
    // line would have it, and are spaced evenly where that has not helped.
    if (!slow && low_pivot > 0 && high_pivot < 0) {
      const double guess = low + width * (low_pivot / (low_pivot - high_pivot));
      constexpr double spread[points] = {-0x1p-3, -0x1p-6, -0x1p-12, -0x1p-20,
                                         0x1p-20, 0x1p-12, 0x1p-6,   0x1p-3};
      for (int k = 0; k < points; ++k) x[k] = std::clamp(guess + spread[k] * width, low, high);
    } else {
      for (int k = 0; k < points; ++k) x[k] = low + (k + 1) * (width / (points + 1));
    }
    count_below(matrix, x, below, last);
    int first = 0;  // first point above the eigenvalue
    while (first < points && below[first] <= index) ++first;
    if (first < points) high = x[first], high_pivot = last[first];
    if (first > 0) low = x[first - 1], low_pivot = last[first - 1];
    slow = high - low > width / 4;
  }
  return low + (high - low) / 2;
}

double bound_eigenvalue(const Tridiagonal& matrix, int index, double high) {
  for (int round = 0; round < 100; ++round) {
    double x[points], below[points], last[points];
    for (int k = 0; k < points; ++k) x[k] = std::ldexp(high, -(k + 1));
    count_below(matrix, x, below, last);
    int k = 0;
    while (k < points && below[k] > index) ++k;
    if (k > 0) high = x[k - 1];
    if (k < points) break;
  }
  return high;
}

}  // namespace sixtyfold
