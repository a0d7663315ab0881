#pragma once
// How many eigenvalues of a dense symmetric matrix lie below a number, without finding any.

#include "engine/structure/tridiagonal.h"

namespace sixtyfold {

/// The negative pivots of matrix - x I = L D L^T, as many as eigenvalues lie below x (Sylvester's
/// law of inertia; Golub and Van Loan 2013, 8.1.5). `matrix`: size rows of block_stride numbers,
/// symmetric. -1 when a pivot is too small for that to be told without exchanging rows. `scratch`:
/// as large as the matrix.
int count_eigenvalues_below(const double* matrix, int size, double x, double* scratch);

}  // namespace sixtyfold
