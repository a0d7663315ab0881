#pragma once
// Real orthogonal irreducible representations of a point group, made from the group alone.

#include <string>
#include <vector>

#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// One irreducible representation over the real numbers. Promises, to rounding: matrices are
/// orthogonal, rho(a b) = rho(a) rho(b), and the mean of character^2 over the group is `type`.
struct Irrep {
  std::string name;   ///< after Mulliken 1955: A, B (dimension 1), E 2, T 3, G 4, H 5, with 1 2 ..,
                      ///< g u (inversion), ' '' (horizontal mirror)
  int dimension = 1;  ///< d
  /// m: 1 real, 2 complex (two conjugate complex representations read as one real one, as E of T
  /// and of Cn). Point groups have no quaternionic ones.
  int type = 1;
  std::vector<double> matrices;  ///< element by element, row by row: order * d * d numbers

  const double* matrix(int element) const {
    return matrices.data() + static_cast<std::size_t>(element * dimension * dimension);
  }
  double entry(int element, int row, int column) const {
    return matrix(element)[row * dimension + column];
  }
  double character(int element) const;
  /// How often a block's eigenvalues count: d / m.
  int multiplicity() const { return dimension / type; }
};

/// All of them, each class of equivalent ones once, so that the sum of d^2 / m is the order. By
/// dimension, then even before odd, then larger characters first; the first is the trivial one.
/// About 1 ms for I, 0.1 s for the largest groups: make once and share.
///
/// Method: a symmetric element of the commutant of the regular representation, generic but fixed,
/// has eigenspaces that are irreducible (Dixon 1970 splits so too); each is then averaged over the
/// group until the homomorphism holds to the last digits.
std::vector<Irrep> make_irreps(const PointGroup& group);

}  // namespace sixtyfold
