#pragma once
// The joint model of all stiffness numbers: rigid panels, a glue line as a hinge.
//
// A panel moves as u(x) = v + w x (x - centroid). Across a glue line of length L from a to b the
// two panels' displacements differ by jump(s), linear along the line, so
//   integral |jump|^2 ds = L |jump(middle)|^2 + L/12 |jump(b) - jump(a)|^2:
// three equations for the middle, two for the turning of the line: the five of a hinge (Tay and
// Whiteley 1984). Turning about the line itself is free but for the fold term
//   fold_length^2 L (turn about the line)^2.
// A tab joint, an edge joint and a glued slot are all treated so: a slot glued at its full depth
// holds along, across and against twisting of the line, while the change of angle between the two
// panels is left to the board's softness. A dry slot can also be pulled out along the line; it is
// not a joint in this sense.

#include <vector>

#include "engine/joint.h"
#include "engine/structure/body.h"

namespace sixtyfold {

using HingeRows =
    Eigen::Matrix<double, 7, 6>;  ///< rows of one joint: 3 middle, 3 (rank 2) ends, 1 fold

/// Coordinates in which integral |u|^2 dA over the panel is |x|^2:
/// x = (sqrt(area) v, inertia^(1/2) w), the symmetric root, so that an orthogonal map g acts on x
/// as (g, det(g) g).
struct BodyScale {
  Vec3 centroid_mm = Vec3::Zero();
  double velocity = 0;          ///< v = velocity * x[0..2]
  Mat3 turning = Mat3::Zero();  ///< w = turning * x[3..5]
};

/// The area must be above 0 and the region not degenerate to a line.
BodyScale make_body_scale(const PanelBody& body);

/// The matrix of v x .
Mat3 make_cross_matrix(const Vec3& v);

/// Displacement at a point of space as a linear map of x (3 x 6).
Eigen::Matrix<double, 3, 6> make_displacement(const BodyScale& scale, const Vec3& point_mm);

/// The weighted rows of one panel at a glue line: |rows(i) x_i - rows(j) x_j|^2 is the joint's
/// energy above.
HingeRows make_hinge_rows(const BodyScale& scale, const Vec3& from_mm, const Vec3& to_mm,
                          double fold_length_mm);

std::vector<BodyScale> make_body_scales(const std::vector<PanelBody>& bodies);

/// The symmetric matrix whose quadratic form is the energy of all joints, in the coordinates of the
/// scales, 6 for each panel in order.
Eigen::MatrixXd make_joint_matrix(const std::vector<BodyScale>& scales,
                                  const std::vector<Joint>& joints, double fold_length_mm);

}  // namespace sixtyfold
