#pragma once
// How a floppy construction moves: each free motion as vectors, as a sentence and as a second
// position to draw.

#include <string>
#include <vector>

#include "engine/vectors.h"

namespace sixtyfold {

struct Design;

/// One free motion, to first order: panel i moves as x -> x + shift + turn x (x - centroid).
struct FreeMotion {
  std::vector<Vec3> centroids_mm, shifts_mm, turns_rad;  ///< by copy
  std::vector<double> fold_turns_rad;  ///< by joint: turn of panels[1] against panels[0] about it
  double reach_mm = 0;                 ///< how far the fastest corner goes
  std::string sentence;                ///< which panels turn about which folds, by how much
};

/// A basis of the free internal motions (folds free, rigid motions of each piece removed): the one
/// that turns its folds least for its size comes first, and so is the one a soft fold resists
/// least. At most `most` of them; empty when the design is rigid. Each goes so far that its fastest
/// corner moves a tenth of the radius of the enclosing sphere. Copies are numbered from 0, as in
/// the file.
std::vector<FreeMotion> find_free_motions(const Design& design, int most = 6);

/// The rigid placing of a copy after `share` (-1 to 1) of the motion: an orthogonal matrix, so
/// that the drawn panel keeps its shape; neighbours part by the square of the motion.
Eigen::Isometry3d make_displacement(const FreeMotion& motion, int copy, double share);

}  // namespace sixtyfold
