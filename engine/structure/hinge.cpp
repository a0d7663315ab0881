#include "engine/structure/hinge.h"

#include <Eigen/Eigenvalues>
#include <cassert>
#include <cmath>

namespace sixtyfold {
Mat3 make_cross_matrix(const Vec3& v) {
  Mat3 m;
  m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return m;
}

BodyScale make_body_scale(const PanelBody& body) {
  assert(body.area_mm2 > 0);
  const Mat3& second = body.second_moments_mm4;
  const Mat3 inertia = second.trace() * Mat3::Identity() - second;  // of |w x r|^2
  Eigen::SelfAdjointEigenSolver<Mat3> axes;
  axes.computeDirect(inertia);
  // computeDirect is fast but loses half the digits where two moments nearly agree; one step of
  // Newton's iteration for the inverse square root restores them.
  Mat3 root = axes.eigenvectors() * axes.eigenvalues().cwiseSqrt().cwiseInverse().asDiagonal() *
              axes.eigenvectors().transpose();
  for (int step = 0; step < 2; ++step) {
    root = 0.5 * root * (3 * Mat3::Identity() - root * inertia * root);
    root = 0.5 * (root + root.transpose().eval());
  }
  return {body.centroid_mm, 1 / std::sqrt(body.area_mm2), root};
}

Eigen::Matrix<double, 3, 6> make_displacement(const BodyScale& scale, const Vec3& point_mm) {
  Eigen::Matrix<double, 3, 6> map;
  map.leftCols<3>() = scale.velocity * Mat3::Identity();
  map.rightCols<3>() = -make_cross_matrix(point_mm - scale.centroid_mm) * scale.turning;
  return map;
}

HingeRows make_hinge_rows(const BodyScale& scale, const Vec3& from_mm, const Vec3& to_mm,
                          double fold_length_mm) {
  const Vec3 along = to_mm - from_mm;
  const double length = along.norm();
  HingeRows rows = HingeRows::Zero();
  rows.topRows<3>() = std::sqrt(length) * make_displacement(scale, (from_mm + to_mm) / 2);
  rows.block<3, 3>(3, 3) = -std::sqrt(length / 12) * make_cross_matrix(along) * scale.turning;
  if (fold_length_mm > 0)
    rows.block<1, 3>(6, 3) = fold_length_mm / std::sqrt(length) * along.transpose() * scale.turning;
  return rows;
}

std::vector<BodyScale> make_body_scales(const std::vector<PanelBody>& bodies) {
  std::vector<BodyScale> scales;
  for (const PanelBody& body : bodies) scales.push_back(make_body_scale(body));
  return scales;
}

Eigen::MatrixXd make_joint_matrix(const std::vector<BodyScale>& scales,
                                  const std::vector<Joint>& joints, double fold_length_mm) {
  const auto size = static_cast<Eigen::Index>(6 * scales.size());
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(size, size);
  for (const Joint& joint : joints) {
    const int i = joint.panels[0], j = joint.panels[1];
    const auto rows_of = [&](int panel) {
      return make_hinge_rows(scales[static_cast<std::size_t>(panel)], joint.from_mm, joint.to_mm,
                             fold_length_mm);
    };
    const HingeRows a = rows_of(i), b = rows_of(j);
    matrix.block<6, 6>(6 * i, 6 * i) += a.transpose() * a;
    matrix.block<6, 6>(6 * j, 6 * j) += b.transpose() * b;
    matrix.block<6, 6>(6 * i, 6 * j) -= a.transpose() * b;
    matrix.block<6, 6>(6 * j, 6 * i) -= b.transpose() * a;
  }
  return matrix;
}

}  // namespace sixtyfold
