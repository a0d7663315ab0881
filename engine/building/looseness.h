#pragma once
// How loose what stands is while it grows block by block: internal degrees of freedom, folds free,
// without an eigenvalue problem for every step.

#include <vector>

#include "engine/structure/hinge.h"
#include "engine/structure/stiffness.h"

namespace sixtyfold {

/// Counts as blocks are added, each of one or several bodies of a structure. What can move is kept
/// as an orthonormal basis; a new body brings six motions, and each joint to what stands takes away
/// those it does not bear, found by a QR decomposition of its few rows. The count is that of
/// measure_stiffness, but for structures so nearly loose that rounding decides.
class Looseness {
 public:
  /// `structure` must outlive it.
  explicit Looseness(const Structure& structure);

  /// Adds bodies of the structure, by number, each once, with all joints to what is there.
  void add(const std::vector<int>& bodies);

  /// Of all that has been added; 0 for nothing.
  int internal_dof() const;

 private:
  void add_body(int body);
  int find_piece(int body) const;

  const Structure& structure_;
  std::vector<BodyScale> scales_;
  std::vector<std::vector<int>> joints_of_;  // of a body
  std::vector<int> place_;                   // of a body among those added; -1: not there
  std::vector<int> piece_;                   // of a body: another one of its piece, or itself
  Eigen::MatrixXd motions_;                  // 6 rows a body in the order of adding
  int added_ = 0, pieces_ = 0;
};

}  // namespace sixtyfold
