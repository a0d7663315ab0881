#include "engine/structure/tridiagonal.h"

#include <algorithm>
#include <cmath>

#include "engine/lanes.h"

namespace sixtyfold {
namespace {

constexpr double smallest_pivot = 1e-290;

/// y = leading size x size part times x.
inline __attribute__((always_inline)) void multiply_leading(const double* __restrict matrix, const double* __restrict x, int size,
                      double* __restrict y) {
  for (int j = 0; j < size; ++j) y[j] = 0;
  int i = 0;
  for (; i + 4 <= size; i += 4) {
    const double* row = matrix + i * block_stride;
    const double a = x[i], b = x[i + 1], c = x[i + 2], d = x[i + 3];
    for (int j = 0; j < size; ++j)
      y[j] += (a * row[j] + b * row[j + block_stride]) +
              (c * row[j + 2 * block_stride] + d * row[j + 3 * block_stride]);
  }
  for (; i < size; ++i)
    for (int j = 0; j < size; ++j) y[j] += x[i] * matrix[i * block_stride + j];
}

}  // namespace

SIXTYFOLD_LANES
void reduce_to_tridiagonal(double* matrix, int size, Tridiagonal& result) {
  result.size = size;
  alignas(64) double v[block_stride], p[block_stride];
  for (int k = size - 1; k > 0; --k) {
    double* const row = matrix + k * block_stride;
    result.diagonal[k] = row[k];
    double rest = 0;  // what is to vanish
    for (int j = 0; j + 1 < k; ++j) rest += row[j] * row[j];
    const double last = row[k - 1];
    if (rest == 0) {
      result.beside_squared[k] = last * last;
      continue;
    }
    const double squared = rest + last * last;
    result.beside_squared[k] = squared;
    const double norm = std::copysign(std::sqrt(squared), last);
    for (int j = 0; j < k; ++j) v[j] = row[j];
    v[k - 1] += norm;
    const double half = squared + last * norm;  // |v|^2 / 2
    multiply_leading(matrix, v, k, p);
    double dot = 0;
    for (int j = 0; j < k; ++j) {
      p[j] /= half;
      dot += v[j] * p[j];
    }
    const double share = dot / (2 * half);
    for (int j = 0; j < k; ++j) p[j] -= share * v[j];
    for (int i = 0; i < k; ++i) {
      double* __restrict target = matrix + i * block_stride;
      const double vi = v[i], pi = p[i];
      for (int j = 0; j < k; ++j) target[j] -= vi * p[j] + pi * v[j];
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

/// For several x at once, whose sequences run side by side so that a division's latency is paid once
/// for all: how many eigenvalues lie below, and the last pivot, which falls through 0 at each.
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
    // The last pivot is nearly straight near its zero: trial points close in on where a straight line
    // would have it, and are spaced evenly where that has not helped.
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
