#pragma once
// SIXTYFOLD_LANES before a function compiles it twice where the compiler can choose at run time:
// for the plain baseline and with wider vector lanes. Contraction is off, so both give the same
// bits.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define SIXTYFOLD_LANES __attribute__((target_clones("avx2", "default")))
#else
#define SIXTYFOLD_LANES
#endif

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>

#if defined(__x86_64__) && defined(__GNUC__)
#define SIXTYFOLD_WIDE __attribute__((target("avx2")))
#include <immintrin.h>
#endif

namespace sixtyfold {

/// Four numbers that go through the same arithmetic at once, for loops that compilers leave scalar.
/// Comparisons give masks, and mask ? a : b chooses lane by lane.
using Four = double __attribute__((vector_size(32)));
using FourInts = std::int32_t __attribute__((vector_size(16)));
inline constexpr int four = 4;

/// Not passed by value: the two versions of a function would disagree on how.
inline __attribute__((always_inline)) void load(const double* from, Four& to) {
  std::memcpy(&to, from, sizeof to);
}
inline __attribute__((always_inline)) void store(const Four& from, double* to) {
  std::memcpy(to, &from, sizeof from);
}

inline double find_largest_of(const Four& numbers) {
  return std::max(std::max(numbers[0], numbers[1]), std::max(numbers[2], numbers[3]));
}

/// Masks of comparisons, eight numbers at a time, which compilers do not make by themselves. Two
/// versions with the same answers: one for any processor, one for wide lanes (only to be called
/// where has_wide_lanes()).

/// Bit k: numbers[k] >= least.
inline unsigned mark_at_least(const double* numbers, double least) {
  unsigned mask = 0;
  for (unsigned k = 0; k < 8; ++k) mask |= unsigned{numbers[k] >= least} << k;
  return mask;
}
/// Bit k: numbers[k] and numbers[k + 1] do not lie strictly on one side of 0.
inline unsigned mark_changes(const double* numbers) {
  unsigned mask = 0;
  for (unsigned k = 0; k < 8; ++k) mask |= unsigned{!(numbers[k] * numbers[k + 1] > 0)} << k;
  return mask;
}

#ifdef SIXTYFOLD_WIDE
inline bool has_wide_lanes() {
  static const bool wide = __builtin_cpu_supports("avx2");
  return wide;
}
SIXTYFOLD_WIDE inline unsigned mark_at_least_wide(const double* numbers, double least) {
  const __m256d bound = _mm256_set1_pd(least);
  const int low = _mm256_movemask_pd(_mm256_cmp_pd(_mm256_loadu_pd(numbers), bound, _CMP_GE_OQ));
  const int high =
      _mm256_movemask_pd(_mm256_cmp_pd(_mm256_loadu_pd(numbers + 4), bound, _CMP_GE_OQ));
  return static_cast<unsigned>(low | high << 4);
}
SIXTYFOLD_WIDE inline unsigned mark_changes_wide(const double* numbers) {
  unsigned mask = 0;
  for (unsigned k = 0; k < 8; k += 4) {
    const __m256d products =
        _mm256_mul_pd(_mm256_loadu_pd(numbers + k), _mm256_loadu_pd(numbers + k + 1));
    const __m256d change = _mm256_cmp_pd(products, _mm256_setzero_pd(), _CMP_NGT_UQ);
    mask |= static_cast<unsigned>(_mm256_movemask_pd(change)) << k;
  }
  return mask;
}
#endif

}  // namespace sixtyfold
