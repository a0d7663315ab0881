#include "engine/symmetry/symmetry_blocks.h"

#include <Eigen/Eigenvalues>
#include <cmath>

namespace sixtyfold {
namespace {

/// Orthonormal columns that rho(h) (x) W(h) fixes for all h of the stabiliser.
Eigen::MatrixXd find_fixed_vectors(const PointGroup& group, const Subgroup& stabiliser,
                                   const Irrep& irrep) {
  const int d = irrep.dimension;
  Eigen::MatrixXd mean = Eigen::MatrixXd::Zero(6 * d, 6 * d);
  for (const int h : stabiliser) {
    const Mat3& map = group.elements[static_cast<std::size_t>(h)];
    Eigen::Matrix<double, 6, 6> motion = Eigen::Matrix<double, 6, 6>::Zero();
    motion.topLeftCorner<3, 3>() = map;
    motion.bottomRightCorner<3, 3>() = map.determinant() * map;
    for (int a = 0; a < d; ++a)
      for (int b = 0; b < d; ++b) mean.block<6, 6>(6 * a, 6 * b) += irrep.entry(h, a, b) * motion;
  }
  mean /= static_cast<double>(stabiliser.size());
  // The mean over a group is the projection on what the group fixes: eigenvalues 0 and 1.
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(0.5 * (mean + mean.transpose()));
  const auto fixed = (solver.eigenvalues().array() > 0.5).count();
  return solver.eigenvectors().rightCols(fixed);
}

/// How often the representation occurs among pushes and turns of space.
int count_rigid_motions(const PointGroup& group, const Irrep& irrep) {
  double sum = 0;
  for (int g = 0; g < group.order(); ++g) {
    const Mat3& map = group.elements[static_cast<std::size_t>(g)];
    double character = 0;
    for (int i = 0; i < irrep.dimension; ++i) character += irrep.entry(g, i, i);
    sum += character * map.trace() * (1 + map.determinant());
  }
  return static_cast<int>(std::lround(sum / group.order()));
}

}  // namespace

SymmetryBlocks make_symmetry_blocks(const PointGroup& group, const Subgroup& stabiliser) {
  return make_symmetry_blocks(group, stabiliser, make_irreps(group));
}

SymmetryBlocks make_symmetry_blocks(const PointGroup& group, const Subgroup& stabiliser,
                                    const std::vector<Irrep>& irreps) {
  SymmetryBlocks result{group, stabiliser, {}};
  for (const Irrep& irrep : irreps) {
    SymmetryBlock block;
    block.irrep = irrep.name;
    block.dimension = irrep.dimension;
    block.multiplicity = irrep.multiplicity();
    block.size = 6 * irrep.dimension;
    if (stabiliser.size() > 1) {
      const Eigen::MatrixXd basis = find_fixed_vectors(group, stabiliser, irrep);
      block.size = static_cast<int>(basis.cols());
      block.basis.assign(basis.data(), basis.data() + basis.size());
    }
    block.matrices = irrep.matrices;
    block.rigid = count_rigid_motions(group, irrep);
    if (block.size > 0) result.blocks.push_back(std::move(block));
  }
  return result;
}

}  // namespace sixtyfold
