#pragma once
// The numbers of engine/structure/stiffness.h for one orbit of panels, by symmetry blocks: the same
// to 1e-9 and several hundred times faster (about 8 microseconds for 60 copies), for the search.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "engine/structure/stiffness.h"
#include "engine/structure/tridiagonal.h"
#include "engine/symmetry/symmetry_blocks.h"

namespace sixtyfold {

/// One joint and, with it, all its images under the group.
struct JointOrbit {
  int element = 0;  ///< g: the joint is between P and gP; not in the stabiliser
  Vec3 from_mm = Vec3::Zero(), to_mm = Vec3::Zero();  ///< in space
  /// Joints in the orbit over number of panels. For a trivial stabiliser: 1, or 1/2 where an
  /// element that swaps P and gP maps the segment onto itself.
  double joints_per_panel = 1;
};

struct SymmetricStructure {
  PanelBody body;                  ///< of P
  std::vector<JointOrbit> joints;  ///< each orbit once
  double radius_mm = 0;            ///< of the enclosing sphere
  double fold_length_mm = 0;       ///< see Structure
  int pieces = 0;                  ///< that the joints leave; 0: to be found out
};

/// A block without its basis.
struct ReducedBlock {
  Tridiagonal matrix;
  double trace = 0;
  int free = 0;  ///< eigenvalues below the limit for free motions
};

/// Reused between calls, one per thread; holds nothing that outlives a call.
struct StiffnessWorkspace {
  alignas(64) double matrix[block_stride * block_stride];
  alignas(64) double scratch[block_stride * block_stride];
  std::vector<ReducedBlock> reduced;
  std::vector<Eigen::Matrix<double, 6, 6>> cross, cross_transposed;  ///< by joint orbit
  std::vector<unsigned char> reached;
  std::vector<int> queue;
};

/// As measure_stiffness of the whole structure, but largest_free is an upper bound only:
/// free_motion_limit, or a thousandth of it when the free eigenvalues are that small.
Stiffness measure_stiffness(const SymmetryBlocks& blocks, const SymmetricStructure& structure,
                            StiffnessWorkspace& work);

/// Told a number that the value does not exceed, well before the value is known; false: stop.
using WantsStiffness = std::function<bool(double at_most)>;
/// The same for the search, faster and without the gap between free and held: largest_free and
/// smallest_held are 0. Nothing when it was told to stop.
std::optional<Stiffness> find_stiffness(const SymmetryBlocks& blocks,
                                        const SymmetricStructure& structure,
                                        StiffnessWorkspace& work, const WantsStiffness& wants);

/// Eigenvalues of one block, ascending, each to be counted `multiplicity` times.
struct BlockSpectrum {
  std::string irrep;
  int multiplicity = 1;
  std::vector<double> eigenvalues;
};
std::vector<BlockSpectrum> find_block_spectra(const SymmetryBlocks& blocks,
                                              const SymmetricStructure& structure);

/// Free internal motions of one symmetry type: `copies` sets of `dimension` motions each.
struct FreeMotionType {
  std::string irrep;
  int dimension = 1, copies = 0;
  bool operator==(const FreeMotionType&) const = default;
};
/// Those that occur; the sum of dimension * copies is internal_dof. The fully symmetric type (the
/// first irrep) is a motion in which all copies do the same.
std::vector<FreeMotionType> find_free_motion_types(const SymmetryBlocks& blocks,
                                                   const SymmetricStructure& structure);

}  // namespace sixtyfold
