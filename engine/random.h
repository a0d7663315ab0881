#pragma once
// Random streams that depend on (seed, purpose, index) alone: never on a thread, a clock or the
// standard library's distributions, which differ between vendors.

#include <cstdint>

namespace sixtyfold {

/// What a stream is for; streams of different purposes never share numbers.
enum class Purpose : std::uint64_t { sample = 1, propose, refine, choose, perturb, test };

/// xoshiro256++ (Blackman and Vigna 2021), seeded through splitmix64 (Steele, Lea and Flood 2014).
class RandomStream {
 public:
  RandomStream(std::uint64_t seed, Purpose purpose, std::uint64_t index);

  std::uint64_t next();
  /// In [0, 1), 53 bits.
  double uniform();
  /// In [low, high).
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  /// Standard normal by the polar method (Marsaglia and Bray 1964), one value a call.
  double normal();
  /// In 0 .. count-1 without bias (Lemire 2019 rejection); count > 0.
  std::uint64_t below(std::uint64_t count);

 private:
  std::uint64_t state_[4];
};

}  // namespace sixtyfold
