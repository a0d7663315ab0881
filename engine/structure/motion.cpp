#include "engine/structure/motion.h"

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "engine/design.h"
#include "engine/structure/connectivity.h"
#include "engine/structure/hinge.h"
#include "engine/structure/stiffness.h"

namespace sixtyfold {
namespace {

/// Orthonormal columns: rigid motions of each piece.
Eigen::MatrixXd make_rigid_motions(const std::vector<PanelBody>& bodies,
                                   const std::vector<BodyScale>& scales,
                                   const std::vector<int>& piece_of_copy, int pieces) {
  const auto size = static_cast<Eigen::Index>(6 * bodies.size());
  Eigen::MatrixXd motions(size, 6 * pieces);
  for (int piece = 0; piece < pieces; ++piece) {
    Vec3 centre = Vec3::Zero();
    double area = 0;
    for (std::size_t i = 0; i < bodies.size(); ++i)
      if (piece_of_copy[i] == piece)
        centre += bodies[i].area_mm2 * bodies[i].centroid_mm, area += bodies[i].area_mm2;
    centre /= area;
    Eigen::MatrixXd own = Eigen::MatrixXd::Zero(size, 6);
    for (std::size_t i = 0; i < bodies.size(); ++i) {
      if (piece_of_copy[i] != piece) continue;
      const auto at = static_cast<Eigen::Index>(6 * i);
      for (int axis = 0; axis < 3; ++axis) {
        const Vec3 unit = Vec3::Unit(axis);
        own.block<3, 1>(at, axis) = unit / scales[i].velocity;
        own.block<3, 1>(at, 3 + axis) =
            unit.cross(bodies[i].centroid_mm - centre) / scales[i].velocity;
        own.block<3, 1>(at + 3, 3 + axis) = scales[i].turning.inverse() * unit;
      }
    }
    // Cholesky of the 6 x 6 Gram matrix makes the columns orthonormal; pieces do not overlap.
    const Eigen::Matrix<double, 6, 6> gram = own.transpose() * own;
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, 6, 6>> solver(gram);
    motions.middleCols(6 * piece, 6) = own * solver.operatorInverseSqrt();
  }
  return motions;
}

std::string format_number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, value < 9.95 ? "%.1f" : "%.0f", value);
  return text;
}

std::string describe(const FreeMotion& motion, const Design& design) {
  double largest = 0;
  for (const double turn : motion.fold_turns_rad) largest = std::max(largest, std::abs(turn));
  std::vector<std::size_t> leading;
  int turning = 0;
  for (std::size_t j = 0; j < motion.fold_turns_rad.size(); ++j) {
    const double turn = std::abs(motion.fold_turns_rad[j]);
    turning += turn > 0.01 * largest;
    if (turn > 0.98 * largest) leading.push_back(j);
  }
  std::string sentence = "panels ";
  constexpr std::size_t most_named = 3;
  for (std::size_t k = 0; k < std::min(leading.size(), most_named); ++k) {
    const Joint& joint = design.joints[leading[k]];
    if (k > 0) sentence += k + 1 == std::min(leading.size(), most_named) ? " and " : ", ";
    sentence += std::to_string(joint.panels[0]) + "-" + std::to_string(joint.panels[1]);
  }
  sentence += " turn about their common fold by " + format_number(to_degrees(largest)) + " degrees";
  if (leading.size() > most_named)
    sentence += " (and as much at " + std::to_string(leading.size() - most_named) + " more folds)";
  sentence += " while the fastest corner moves " + format_number(motion.reach_mm) + " mm; " +
              std::to_string(turning) + " of " + std::to_string(motion.fold_turns_rad.size()) +
              " folds turn";
  return sentence;
}

}  // namespace

std::vector<FreeMotion> find_free_motions(const Design& design, int most) {
  const Structure structure = make_structure(design);
  const Stiffness stiffness = measure_stiffness(structure);
  if (stiffness.internal_dof <= 0) return {};
  const auto& bodies = structure.bodies;
  const auto corners = find_corners(design);
  const auto scales = make_body_scales(bodies);
  const auto size = static_cast<Eigen::Index>(6 * bodies.size());
  const auto pieces = find_pieces(static_cast<int>(bodies.size()), design.joints);
  const Eigen::MatrixXd rigid = make_rigid_motions(bodies, scales, pieces, stiffness.pieces);

  // Free motions: the kernel of the joint matrix with the rigid motions lifted out of it.
  Eigen::MatrixXd matrix = make_joint_matrix(scales, design.joints, 0);
  const double mean = matrix.trace() / static_cast<double>(size);
  matrix += mean * rigid * rigid.transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix);
  Eigen::MatrixXd free = solver.eigenvectors().leftCols(stiffness.internal_dof);
  free -= rigid * (rigid.transpose() * free);

  // Within them, in order of the folds' turning: K of the folds alone.
  const Eigen::MatrixXd folds = make_joint_matrix(scales, design.joints, structure.radius_mm) -
                                make_joint_matrix(scales, design.joints, 0);
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> order(free.transpose() * folds * free);
  free = (free * order.eigenvectors()).eval();

  std::vector<FreeMotion> motions;
  for (Eigen::Index m = 0; m < free.cols() && static_cast<int>(m) < most; ++m) {
    FreeMotion motion;
    for (std::size_t i = 0; i < bodies.size(); ++i) {
      const Eigen::Matrix<double, 6, 1> x = free.block<6, 1>(static_cast<Eigen::Index>(6 * i), m);
      motion.centroids_mm.push_back(bodies[i].centroid_mm);
      motion.shifts_mm.push_back(scales[i].velocity * x.head<3>());
      motion.turns_rad.push_back(scales[i].turning * x.tail<3>());
    }
    for (std::size_t i = 0; i < bodies.size(); ++i)
      for (const Vec3& corner : corners[i])
        motion.reach_mm = std::max(
            motion.reach_mm,
            (motion.shifts_mm[i] + motion.turns_rad[i].cross(corner - motion.centroids_mm[i]))
                .norm());
    double factor = 0.1 * structure.radius_mm / motion.reach_mm;
    // A motion and its opposite are one: the first fold that clearly turns, turns positively.
    const auto turn_of = [&](const Joint& joint) {
      return (motion.turns_rad[static_cast<std::size_t>(joint.panels[1])] -
              motion.turns_rad[static_cast<std::size_t>(joint.panels[0])])
          .dot((joint.to_mm - joint.from_mm).normalized());
    };
    double largest = 0;
    for (const Joint& joint : design.joints) largest = std::max(largest, std::abs(turn_of(joint)));
    for (const Joint& joint : design.joints)
      if (std::abs(turn_of(joint)) > 0.5 * largest) {
        if (turn_of(joint) < 0) factor = -factor;
        break;
      }
    for (std::size_t k = 0; k < bodies.size(); ++k)
      motion.shifts_mm[k] *= factor, motion.turns_rad[k] *= factor;
    motion.reach_mm *= std::abs(factor);
    for (const Joint& joint : design.joints) motion.fold_turns_rad.push_back(turn_of(joint));
    motion.sentence = describe(motion, design);
    motions.push_back(std::move(motion));
  }
  return motions;
}

Eigen::Isometry3d make_displacement(const FreeMotion& motion, int copy, double share) {
  const auto i = static_cast<std::size_t>(copy);
  const Vec3 turn = share * motion.turns_rad[i];
  const double angle = turn.norm();
  Eigen::Isometry3d placing = Eigen::Isometry3d::Identity();
  placing.translate(motion.centroids_mm[i] + share * motion.shifts_mm[i]);
  if (angle > 0) placing.rotate(Eigen::AngleAxisd(angle, turn / angle));
  placing.translate(-motion.centroids_mm[i]);
  return placing;
}

}  // namespace sixtyfold
