#pragma once
// Smallest eigenvalues of small dense symmetric matrices, without a library: of the 6 d x 6 d
// blocks only one eigenvalue and a count are wanted, and a general solver spends ten times longer.

namespace sixtyfold {

inline constexpr int largest_block = 30;  ///< 6 d for the largest irreducible representation, 5
inline constexpr int block_stride = 32;

/// Symmetric tridiagonal matrix: diagonal, and squares of the elements beside it
/// (beside_squared[i] stands between i - 1 and i; [0] is 0).
struct Tridiagonal {
  int size = 0;
  double diagonal[block_stride], beside_squared[block_stride];
};

/// Householder's reduction (Golub and Van Loan 2013, 8.3.1). `matrix`: size rows of block_stride
/// numbers, both triangles filled; destroyed. The eigenvalues are kept to rounding.
void reduce_to_tridiagonal(double* matrix, int size, Tridiagonal& result);

/// How many eigenvalues lie below x: signs of the pivots (Sturm's sequence; Golub and Van Loan
/// 2013, 8.4.1).
int count_eigenvalues_below(const Tridiagonal& matrix, double x);

/// The eigenvalue number `index`, counted from 0 upward, which must lie between low and high: to
/// 1e-13 of the larger of it and low, as far as rounding lets the count tell.
double find_eigenvalue(const Tridiagonal& matrix, int index, double low, double high);

/// An upper bound of that eigenvalue, which must be below high and above 0: less than twice it.
double bound_eigenvalue(const Tridiagonal& matrix, int index, double high);

}  // namespace sixtyfold
