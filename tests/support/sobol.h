#pragma once
// Low-discrepancy points in the unit cube: Sobol' 1967 with the direction numbers of
// Joe and Kuo 2008 (new-joe-kuo-6.21201) in Gray-code order (Antonov and Saleev 1979).

#include <cstdint>
#include <vector>

namespace sixtyfold {

/// Largest dimension of a Sobol' point.
inline constexpr int largest_sobol_dimension = 64;

/// Promises:
/// 1. point(i) depends on dimension, seed and i alone, so points can be made in any order;
/// 2. seed 0 gives the sequence itself, starting with the zero point;
/// 3. any other seed xors a random digital shift into each coordinate, which keeps every
///    elementary interval's share of points (L'Ecuyer and Lemieux 2002).
class Sobol {
 public:
  /// Throws std::invalid_argument unless 1 <= dimension <= largest_sobol_dimension.
  explicit Sobol(int dimension, std::uint64_t seed = 0);

  int dimension() const { return static_cast<int>(shift_.size()); }
  /// Coordinates in [0, 1), 32 bits each; the sequence repeats after 2^32 points.
  std::vector<double> point(std::uint64_t index) const;

 private:
  std::vector<std::uint32_t> directions_;  ///< 32 for each coordinate
  std::vector<std::uint32_t> shift_;
};

}  // namespace sixtyfold
