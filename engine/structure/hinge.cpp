#include "engine/structure/hinge.h"

#include <Eigen/Eigenvalues>
#include <cassert>
#include <cmath>

namespace sixtyfold {
namespace {

Mat3 make_cross_matrix(const Vec3& v) {
  Mat3 m;
  m << 0, -v.z(), v.y(), v.z(), 0, -v.x(), -v.y(), v.x(), 0;
  return m;
}

}  // namespace

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

}  // namespace sixtyfold
