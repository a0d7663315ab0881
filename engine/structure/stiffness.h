#pragma once
// Will it stand: internal freedoms and the stiffness number, from all copies and all joints.
// No symmetry is used: this is what `check` trusts. engine/structure/block_stiffness.h gives the
// same numbers by symmetry, fast enough for the search.
//
// Stiffness number: over rigid motions of every panel, the 7th smallest eigenvalue lambda of
//   K x = lambda M x,  x^T K x = integral over all glue lines of |jump of u|^2 ds,
//                      x^T M x = (1 / total area) integral over all panels of |u|^2 dA,
// divided by (number of panels * radius of the enclosing sphere). Promises:
// 1. it does not change with size, with placing in space, or with the order of panels or joints;
// 2. it never falls when a joint is added (to the same panels and radius);
// 3. it is exactly 0 when internal_dof > 0 or there is more than one piece.
// Panels are rigid and whole: windows are not counted, so that no window makes a design stiffer.
// What a frame gives way more than a whole panel is not told.
// It compares designs; it is no safety figure. See engine/structure/load.h for newtons.

#include <vector>

#include "engine/joint.h"
#include "engine/structure/body.h"

namespace sixtyfold {

struct Design;

/// A motion is free when its eigenvalue is at most this part of the mean eigenvalue: a strain
/// below 1e-6 of the typical, far above rounding and far below any joint that holds.
inline constexpr double free_motion_limit = 1e-12;

struct Structure {
  std::vector<PanelBody> bodies;
  std::vector<Joint> joints;  ///< panels number the bodies
  double radius_mm = 0;       ///< of the enclosing sphere; above 0
  /// Fold stiffness as a length: square root of (moment per radian and mm of fold) / (force per mm
  /// of slip and mm of line). 0 leaves folds free. Freedoms are always counted with free folds.
  double fold_length_mm = 0;
};

struct Stiffness {
  int pieces = 0;
  int rank = 0;           ///< of the hinge equations, folds free
  int internal_dof = 0;   ///< 6 panels - 6 pieces - rank
  int self_stresses = 0;  ///< 5 joints - rank: how often it is held more than needed
  double value = 0;       ///< the stiffness number
  /// The gap the rank rests on, as eigenvalues over the mean eigenvalue: the largest one counted
  /// as free and the smallest one counted as held (0 if there is none). Close together: doubt it.
  double largest_free = 0, smallest_held = 0;
};

/// All eigenvalues of K x = lambda M x over (panels * radius), ascending: 6 per panel.
/// Time grows with the cube of the number of panels: about 15 ms for 60, 1 s for 240.
std::vector<double> find_stiffness_spectrum(const Structure& structure);

Stiffness measure_stiffness(const Structure& structure);

/// The structure of a design with computed joints: radius from the farthest outline vertex.
Structure make_structure(const Design& design);

}  // namespace sixtyfold
