#pragma once
// The parts into which symmetry splits the motions of all copies of one panel.
//
// A motion of the whole construction gives each copy gP six numbers x_g, told in P's own frame
// (engine/structure/hinge.h). For an irreducible representation rho of dimension d take
// x_g = (row a of rho(g)) y with y in R^d (x) R^6: these motions are carried into themselves by
// every symmetric stiffness matrix, whatever a, so that one matrix of size 6 d stands for d / m
// equal ones (Kangwai and Guest 1999; Schulze 2010). If P is mapped onto itself by a stabiliser H,
// x_(g h) = W(h)^-1 x_g must hold, and y is confined to the vectors that rho(h) (x) W(h) fixes,
// with W(h) = (h, det(h) h): smaller blocks, induced from H.

#include <string>
#include <vector>

#include "engine/symmetry/representation.h"
#include "engine/symmetry/subgroup.h"

namespace sixtyfold {

struct SymmetryBlock {
  std::string irrep;             ///< its name, as "T1"
  int dimension = 1;             ///< d
  int multiplicity = 1;          ///< d / m: how often each eigenvalue of the block counts
  int size = 6;                  ///< rows of the block: 6 d, or fewer for a panel on an axis
  int rigid = 0;                 ///< eigenvalues that are motions of the construction as a whole
  std::vector<double> matrices;  ///< rho, element by element, row by row
  /// Columns that span the allowed y (index 6 a + i), 6 d numbers each; empty when size is 6 d.
  std::vector<double> basis;
};

/// Made once for a group and a stabiliser and shared by every variant and thread.
struct SymmetryBlocks {
  PointGroup group;
  Subgroup stabiliser;
  std::vector<SymmetryBlock> blocks;  ///< those of size 0 left out

  int panels() const { return group.order() / static_cast<int>(stabiliser.size()); }
};

/// `stabiliser`: the elements that map the panel onto itself, {0} for none but the identity.
/// The sum of size * multiplicity over the blocks is 6 panels.
SymmetryBlocks make_symmetry_blocks(const PointGroup& group, const Subgroup& stabiliser = {0});
/// With the group's irreducible representations, which take long to make.
SymmetryBlocks make_symmetry_blocks(const PointGroup& group, const Subgroup& stabiliser,
                                    const std::vector<Irrep>& irreps);

}  // namespace sixtyfold
