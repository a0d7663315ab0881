#include "engine/structure/stiffness.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cassert>

#include "engine/design.h"
#include "engine/structure/connectivity.h"
#include "engine/structure/hinge.h"

namespace sixtyfold {
namespace {

/// K in coordinates in which M is the identity over the total area, over panels * radius.
Eigen::MatrixXd make_stiffness_matrix(const Structure& structure, double fold_length_mm) {
  double area = 0;
  for (const PanelBody& body : structure.bodies) area += body.area_mm2;
  return make_joint_matrix(make_body_scales(structure.bodies), structure.joints, fold_length_mm) *
         (area / (static_cast<double>(structure.bodies.size()) * structure.radius_mm));
}

std::vector<double> find_spectrum(const Structure& structure, double fold_length_mm) {
  assert(structure.radius_mm > 0);
  if (structure.bodies.empty()) return {};
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(
      make_stiffness_matrix(structure, fold_length_mm), Eigen::EigenvaluesOnly);
  const auto& values = solver.eigenvalues();
  return {values.begin(), values.end()};
}

}  // namespace

std::vector<double> find_stiffness_spectrum(const Structure& structure) {
  return find_spectrum(structure, structure.fold_length_mm);
}

Stiffness measure_stiffness(const Structure& structure) {
  Stiffness result;
  const int panels = static_cast<int>(structure.bodies.size());
  result.pieces = count_pieces(panels, structure.joints);
  if (panels == 0) return result;
  const std::vector<double> free_folds = find_spectrum(structure, 0);
  double mean = 0;
  for (const double value : free_folds) mean += value / static_cast<double>(free_folds.size());
  const auto held =
      std::upper_bound(free_folds.begin(), free_folds.end(), free_motion_limit * mean);
  result.rank = static_cast<int>(free_folds.end() - held);
  result.internal_dof = 6 * panels - 6 * result.pieces - result.rank;
  result.self_stresses = 5 * static_cast<int>(structure.joints.size()) - result.rank;
  if (mean > 0) {
    if (held != free_folds.begin()) result.largest_free = std::max(0.0, *(held - 1)) / mean;
    if (held != free_folds.end()) result.smallest_held = *held / mean;
  }
  if (result.pieces == 1 && result.internal_dof == 0 && panels > 1)
    result.value = structure.fold_length_mm > 0 ? find_stiffness_spectrum(structure)[6] : *held;
  return result;
}

Structure make_structure(const Design& design) {
  Structure structure;
  for (const Orbit& orbit : design.orbits) {
    const PanelBody body = measure_body(orbit.panel.frame, orbit.panel.outline_mm);
    for (const Mat3& copy : orbit.copies) structure.bodies.push_back(make_image(body, copy));
  }
  structure.joints = design.joints;
  structure.radius_mm = measure_enclosing_radius(design);
  return structure;
}

}  // namespace sixtyfold
