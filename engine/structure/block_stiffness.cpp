#include "engine/structure/block_stiffness.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <span>

#include "engine/lanes.h"
#include "engine/structure/eigenvalue_count.h"
#include "engine/structure/hinge.h"

namespace sixtyfold {
namespace {

using Matrix6 = Eigen::Matrix<double, 6, 6>;

/// r r^T - r.r I, the square of the cross matrix.
Mat3 square_cross(const Vec3& r) { return r * r.transpose() - r.squaredNorm() * Mat3::Identity(); }

/// Adds the panel's own term, rows^T rows of engine/structure/hinge.h worked out, for one end of a
/// joint with its middle at `arm` from the centroid. In unscaled coordinates (v, w).
void add_own_term(const Vec3& arm, const Vec3& along, double weight, double fold_squared,
                  Matrix6& own) {
  const double length = along.norm();
  const double line = weight * length;
  for (int i = 0; i < 3; ++i) own(i, i) += line;
  own.topRightCorner<3, 3>() -= line * make_cross_matrix(arm);
  own.bottomRightCorner<3, 3>() -= line * (square_cross(arm) + square_cross(along) / 12);
  if (fold_squared > 0)
    own.bottomRightCorner<3, 3>() += weight * fold_squared / length * along * along.transpose();
}

/// rows(P)^T rows(gP) with the motion of gP told in P's frame. In unscaled coordinates.
Matrix6 make_cross_term(const Mat3& map, const Vec3& arm, const Vec3& other_arm, const Vec3& along,
                        double weight, double fold_squared) {
  const double length = along.norm();
  const double line = weight * length;
  const Mat3 turned = map.determinant() > 0 ? map : Mat3(-map);
  const Mat3 near = line * make_cross_matrix(arm), far = make_cross_matrix(other_arm);
  Mat3 turns = -near * far - line / 12 * square_cross(along);
  if (fold_squared > 0) turns += weight * fold_squared / length * along * along.transpose();
  Matrix6 term;
  term.topLeftCorner<3, 3>() = line * map;
  term.topRightCorner<3, 3>() = -line * far * turned;
  term.bottomLeftCorner<3, 3>() = near * map;
  term.bottomRightCorner<3, 3>() = turns * turned;
  return term;
}

/// scale^T term scale.
void apply_scale(const BodyScale& scale, Matrix6& term) {
  term.topLeftCorner<3, 3>() *= scale.velocity * scale.velocity;
  term.topRightCorner<3, 3>() = scale.velocity * term.topRightCorner<3, 3>() * scale.turning;
  term.bottomLeftCorner<3, 3>() = scale.velocity * scale.turning * term.bottomLeftCorner<3, 3>();
  term.bottomRightCorner<3, 3>() = scale.turning * term.bottomRightCorner<3, 3>() * scale.turning;
}

/// Fills work.cross with each orbit's term and returns the sum of the panel's own terms.
Matrix6 make_terms(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                   double fold_length_mm, StiffnessWorkspace& work) {
  const BodyScale scale = make_body_scale(structure.body);
  const double fold_squared = fold_length_mm * fold_length_mm;
  Matrix6 own = Matrix6::Zero();
  work.cross.resize(structure.joints.size());
  work.cross_transposed.resize(structure.joints.size());
  for (std::size_t j = 0; j < structure.joints.size(); ++j) {
    const JointOrbit& joint = structure.joints[j];
    const Mat3& map = blocks.group.elements[static_cast<std::size_t>(joint.element)];
    const Vec3 along = joint.to_mm - joint.from_mm;
    const Vec3 middle = (joint.from_mm + joint.to_mm) / 2;
    const Vec3 arm = middle - scale.centroid_mm;
    const Vec3 other_arm = middle - map * scale.centroid_mm;
    add_own_term(arm, along, joint.joints_per_panel, fold_squared, own);
    add_own_term(map.transpose() * other_arm, map.transpose() * along, joint.joints_per_panel,
                 fold_squared, own);
    Matrix6& cross = work.cross[j];
    cross = make_cross_term(map, arm, other_arm, along, joint.joints_per_panel, fold_squared);
    apply_scale(scale, cross);
    work.cross_transposed[j] = cross.transpose();
  }
  own.bottomLeftCorner<3, 3>() = own.topRightCorner<3, 3>().transpose();
  apply_scale(scale, own);
  return own;
}

/// sum -= p cross + q transposed, for 6 x 6 matrices.
SIXTYFOLD_LANES
void subtract_cross_terms(double p, double q, const double* cross, const double* transposed,
                          double* __restrict sum) {
  for (int t = 0; t < 36; ++t) sum[t] -= p * cross[t] + q * transposed[t];
}

/// The block of one representation into work.matrix, both triangles.
void make_block(const SymmetryBlock& block, const SymmetricStructure& structure, const Matrix6& own,
                StiffnessWorkspace& work) {
  const int d = block.dimension;
  assert(6 * d <= largest_block);
  double* const matrix = work.matrix;
  for (int a = 0; a < d; ++a)
    for (int b = 0; b <= a; ++b) {
      double sum[36];
      for (int t = 0; t < 36; ++t) sum[t] = a == b ? own.data()[t] : 0;
      for (std::size_t j = 0; j < structure.joints.size(); ++j) {
        const double* rho = block.matrices.data() + structure.joints[j].element * d * d;
        subtract_cross_terms(rho[a * d + b], rho[b * d + a], work.cross[j].data(),
                             work.cross_transposed[j].data(), sum);
      }
      // Eigen's 6 x 6 matrices run by columns: sum[6 k + i] is row i, column k.
      for (int k = 0; k < 6; ++k)
        for (int i = 0; i < 6; ++i) {
          matrix[(6 * a + i) * block_stride + 6 * b + k] = sum[6 * k + i];
          matrix[(6 * b + k) * block_stride + 6 * a + i] = sum[6 * k + i];
        }
    }
  if (block.basis.empty()) return;
  const int full = 6 * d, size = block.size;
  double* const half = work.scratch;  // columns of matrix * basis, one after the other
  for (int c = 0; c < size; ++c) {
    const double* column = block.basis.data() + c * full;
    for (int r = 0; r < full; ++r) {
      double sum = 0;
      for (int k = 0; k < full; ++k) sum += matrix[r * block_stride + k] * column[k];
      half[c * block_stride + r] = sum;
    }
  }
  for (int r = 0; r < size; ++r)
    for (int c = 0; c <= r; ++c) {
      double sum = 0;
      for (int k = 0; k < full; ++k)
        sum += block.basis[static_cast<std::size_t>(r * full + k)] * half[c * block_stride + k];
      matrix[r * block_stride + c] = matrix[c * block_stride + r] = sum;
    }
}

/// Marks in work.reached the subgroup that the joints and the stabiliser generate; its order.
int find_piece(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
               StiffnessWorkspace& work) {
  const PointGroup& group = blocks.group;
  work.reached.assign(group.elements.size(), 0);
  work.queue.assign(1, 0);
  work.reached[0] = 1;
  const auto visit = [&work](int g) {
    if (work.reached[static_cast<std::size_t>(g)]) return;
    work.reached[static_cast<std::size_t>(g)] = 1;
    work.queue.push_back(g);
  };
  for (std::size_t at = 0; at < work.queue.size(); ++at) {
    const int g = work.queue[at];
    // In a finite group the inverses are powers: no need to walk backwards.
    for (const JointOrbit& joint : structure.joints) visit(group.multiply(g, joint.element));
    for (const int h : blocks.stabiliser) visit(group.multiply(g, h));
  }
  return static_cast<int>(work.queue.size());
}

/// What one pass over the blocks finds, in eigenvalues not yet divided by the scale.
struct Pass {
  double mean = 0;
  int free = 0;  ///< counted with multiplicity
  bool all_tiny = true;
  double smallest_held = 0;
};

/// The block in work.matrix, which is destroyed.
void reduce_block(int size, double limit, StiffnessWorkspace& work, ReducedBlock& reduced) {
  reduced.trace = 0;
  for (int i = 0; i < size; ++i) reduced.trace += work.matrix[i * block_stride + i];
  reduce_to_tridiagonal(work.matrix, size, reduced.matrix);
  reduced.free = count_eigenvalues_below(reduced.matrix, limit);
}

/// Every block as a tridiagonal matrix in work.reduced, and how many motions are free.
Pass reduce_blocks(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                   double fold_length_mm, StiffnessWorkspace& work) {
  Pass pass;
  const Matrix6 own = make_terms(blocks, structure, fold_length_mm, work);
  pass.mean = own.trace() / 6;
  const double limit = free_motion_limit * pass.mean;
  work.reduced.resize(blocks.blocks.size());
  for (std::size_t b = 0; b < blocks.blocks.size(); ++b) {
    const SymmetryBlock& block = blocks.blocks[b];
    make_block(block, structure, own, work);
    ReducedBlock& reduced = work.reduced[b];
    reduce_block(block.size, limit, work, reduced);
    pass.free += reduced.free * block.multiplicity;
    if (reduced.free > 0 && count_eigenvalues_below(reduced.matrix, limit / 1000) < reduced.free)
      pass.all_tiny = false;
  }
  return pass;
}

/// The smallest eigenvalue of all blocks that is no free motion; 0 when all are.
double find_smallest_held(std::span<const ReducedBlock> blocks, double limit) {
  // The smallest of a block is at most the mean of those that are held.
  double high = std::numeric_limits<double>::infinity();
  for (const ReducedBlock& block : blocks)
    if (const int held = block.matrix.size - block.free; held > 0)
      high = std::min(high, block.trace / held * (1 + 1e-9));
  if (high == std::numeric_limits<double>::infinity()) return 0;
  // Which block holds it is told by rough bounds; another one is searched only where it has
  // something below what was found.
  const ReducedBlock* best = nullptr;
  for (const ReducedBlock& block : blocks) {
    if (count_eigenvalues_below(block.matrix, high) == block.free) continue;
    high = bound_eigenvalue(block.matrix, block.free, high);
    best = &block;
  }
  if (!best) return high;
  double smallest = find_eigenvalue(best->matrix, best->free, std::max(limit, high / 2), high);
  for (const ReducedBlock& block : blocks)
    if (&block != best && block.free < block.matrix.size &&
        count_eigenvalues_below(block.matrix, smallest) > block.free)
      smallest = find_eigenvalue(block.matrix, block.free, limit, smallest);
  return smallest;
}

double measure_scale(const SymmetricStructure& structure) {
  return structure.body.area_mm2 / structure.radius_mm;
}

/// What the search asks for: how many motions are free, and the smallest eigenvalue of the others.
/// One block is reduced; of the rest it is nearly always enough to count. Nothing when told to
/// stop.
std::optional<Pass> search_blocks(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                                  double fold_length_mm, StiffnessWorkspace& work,
                                  const WantsStiffness& wants) {
  Pass pass;
  const Matrix6 own = make_terms(blocks, structure, fold_length_mm, work);
  pass.mean = own.trace() / 6;
  const double limit = free_motion_limit * pass.mean;
  bool is_rigid = true;  // so far; of what moves the smallest is of no use
  double smallest = std::numeric_limits<double>::infinity();
  const auto search = [&](const SymmetryBlock& block) {
    make_block(block, structure, own, work);
    // Below the smallest so far often lies nothing but the motions of the whole, which are free.
    if (is_rigid && smallest < std::numeric_limits<double>::infinity() &&
        count_eigenvalues_below(work.matrix, block.size, smallest, work.scratch) == block.rigid) {
      pass.free += block.rigid * block.multiplicity;
      return;
    }
    ReducedBlock reduced;
    reduce_block(block.size, limit, work, reduced);
    pass.free += reduced.free * block.multiplicity;
    is_rigid = is_rigid && reduced.free == block.rigid;
    if (!is_rigid) return;
    if (const double lowest = find_smallest_held({&reduced, 1}, limit); lowest > 0)
      smallest = std::min(smallest, lowest);
  };
  // The largest block has the softest motions most often: nine times of ten in I.
  const auto largest = std::max_element(
      blocks.blocks.begin(), blocks.blocks.end(),
      [](const SymmetryBlock& a, const SymmetryBlock& b) { return a.size <= b.size; });
  search(*largest);
  if (is_rigid && smallest < std::numeric_limits<double>::infinity() &&
      !wants(measure_scale(structure) * smallest))
    return std::nullopt;
  for (auto block = blocks.blocks.begin(); block != blocks.blocks.end(); ++block)
    if (block != largest) search(*block);
  pass.smallest_held =
      is_rigid && smallest < std::numeric_limits<double>::infinity() ? smallest : 0;
  return pass;
}

/// All but value and gap.
Stiffness count_motions(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                        const Pass& pass, StiffnessWorkspace& work) {
  Stiffness result;
  const int panels = blocks.panels();
  result.pieces = structure.pieces > 0 ? structure.pieces
                                       : blocks.group.order() / find_piece(blocks, structure, work);
  result.rank = 6 * panels - pass.free;
  result.internal_dof = pass.free - 6 * result.pieces;
  double joints = 0;
  for (const JointOrbit& joint : structure.joints) joints += joint.joints_per_panel * panels;
  result.self_stresses = 5 * static_cast<int>(std::lround(joints)) - result.rank;
  return result;
}

bool is_one_rigid_piece(const SymmetryBlocks& blocks, const Stiffness& stiffness) {
  return stiffness.pieces == 1 && stiffness.internal_dof == 0 && blocks.panels() > 1;
}

}  // namespace

Stiffness measure_stiffness(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                            StiffnessWorkspace& work) {
  assert(structure.radius_mm > 0);
  const auto run = [&](double fold_length_mm) {
    Pass pass = reduce_blocks(blocks, structure, fold_length_mm, work);
    pass.smallest_held = find_smallest_held(work.reduced, free_motion_limit * pass.mean);
    return pass;
  };
  const Pass pass = run(0);
  Stiffness result = count_motions(blocks, structure, pass, work);
  if (pass.mean > 0) {
    result.largest_free = pass.all_tiny ? free_motion_limit / 1000 : free_motion_limit;
    result.smallest_held = pass.smallest_held / pass.mean;
  }
  if (is_one_rigid_piece(blocks, result)) {
    const bool free_folds = !(structure.fold_length_mm > 0);
    result.value = measure_scale(structure) *
                   (free_folds ? pass : run(structure.fold_length_mm)).smallest_held;
  }
  return result;
}

std::optional<Stiffness> find_stiffness(const SymmetryBlocks& blocks,
                                        const SymmetricStructure& structure,
                                        StiffnessWorkspace& work, const WantsStiffness& wants) {
  assert(structure.radius_mm > 0);
  const bool free_folds = !(structure.fold_length_mm > 0);
  const auto always = [](double) { return true; };
  std::optional<Pass> pass = search_blocks(blocks, structure, 0, work, free_folds ? wants : always);
  if (!pass) return std::nullopt;
  Stiffness result = count_motions(blocks, structure, *pass, work);
  if (!is_one_rigid_piece(blocks, result)) return result;
  if (!free_folds) pass = search_blocks(blocks, structure, structure.fold_length_mm, work, wants);
  if (!pass) return std::nullopt;
  result.value = measure_scale(structure) * pass->smallest_held;
  return result;
}

std::vector<BlockSpectrum> find_block_spectra(const SymmetryBlocks& blocks,
                                              const SymmetricStructure& structure) {
  StiffnessWorkspace work;
  const Matrix6 own = make_terms(blocks, structure, structure.fold_length_mm, work);
  std::vector<BlockSpectrum> spectra;
  for (const SymmetryBlock& block : blocks.blocks) {
    make_block(block, structure, own, work);
    double trace = 0;
    for (int i = 0; i < block.size; ++i) trace += work.matrix[i * block_stride + i];
    Tridiagonal tridiagonal;
    reduce_to_tridiagonal(work.matrix, block.size, tridiagonal);
    BlockSpectrum spectrum{block.irrep, block.multiplicity, {}};
    for (int i = 0; i < block.size; ++i)
      spectrum.eigenvalues.push_back(
          measure_scale(structure) *
          find_eigenvalue(tridiagonal, i, -1e-9 * trace, trace * (1 + 1e-9)));
    spectra.push_back(std::move(spectrum));
  }
  return spectra;
}

std::vector<FreeMotionType> find_free_motion_types(const SymmetryBlocks& blocks,
                                                   const SymmetricStructure& structure) {
  SymmetricStructure free_folds = structure;
  free_folds.fold_length_mm = 0;
  StiffnessWorkspace work;
  const double mean =
      measure_scale(structure) * make_terms(blocks, free_folds, 0, work).trace() / 6;
  const int piece = find_piece(blocks, structure, work);
  std::vector<FreeMotionType> types;
  for (std::size_t b = 0; const BlockSpectrum& spectrum : find_block_spectra(blocks, free_folds)) {
    const SymmetryBlock& block = blocks.blocks[b++];
    const int d = block.dimension;
    const auto free =
        std::count_if(spectrum.eigenvalues.begin(), spectrum.eigenvalues.end(),
                      [mean](double value) { return value < free_motion_limit * mean; });
    // Rigid motions of the pieces are induced from one piece's: by Frobenius's reciprocity they
    // occur as often as the representation, restricted, shares with pushes and turns.
    double rigid = 0;
    for (int g = 0; g < blocks.group.order(); ++g) {
      if (!work.reached[static_cast<std::size_t>(g)]) continue;
      const Mat3& map = blocks.group.elements[static_cast<std::size_t>(g)];
      double character = 0;
      for (int i = 0; i < d; ++i)
        character += block.matrices[static_cast<std::size_t>(g * d * d + i * d + i)];
      rigid += character * map.trace() * (1 + map.determinant()) / piece;
    }
    const int internal = static_cast<int>(free) - static_cast<int>(std::lround(rigid));
    // d / multiplicity = m: a complex type shows each of its copies twice in its block.
    if (internal > 0) types.push_back({block.irrep, d, internal * block.multiplicity / d});
  }
  return types;
}

}  // namespace sixtyfold
