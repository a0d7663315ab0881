#include "engine/appeal/proportions.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "engine/design.h"
#include "engine/structure/body.h"
#include "engine/symmetry/orbit_scheme.h"

namespace sixtyfold {

namespace {

/// Integral of x x^T over the panel, x from the centre.
Mat3 integrate_places(const PanelBody& body) {
  return body.second_moments_mm4 + body.area_mm2 * body.centroid_mm * body.centroid_mm.transpose();
}

double compare_extents(const Mat3& places) {
  const Eigen::SelfAdjointEigenSolver<Mat3> solver(places, Eigen::EigenvaluesOnly);
  const double least = solver.eigenvalues()[0], greatest = solver.eigenvalues()[2];
  return greatest > 0 ? std::sqrt(std::clamp(least / greatest, 0.0, 1.0)) : 0;
}

}  // namespace

double measure_layers(double panels_area_mm2, double radius_mm) {
  return radius_mm > 0 ? panels_area_mm2 / (2 * pi * radius_mm * radius_mm) : 0;
}

double measure_slenderness(double area_mm2, const Polygon& hull) {
  double square = 0;
  for (std::size_t i = 0; i < hull.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      square = std::max(square, (hull[i] - hull[k]).squaredNorm());
  return square > 0 ? area_mm2 / square : 0;
}

double measure_evenness(std::span<const Orbit> orbits) {
  Mat3 places = Mat3::Zero();
  for (const Orbit& orbit : orbits) {
    const Mat3 one = integrate_places(
        measure_body(orbit.panel.frame, orbit.panel.outline_mm, orbit.panel.holes_mm));
    for (const Mat3& copy : orbit.copies) places += copy * one * copy.transpose();
  }
  return compare_extents(places);
}

double measure_evenness(const OrbitScheme& scheme, const Frame& frame, const Polygon& outline,
                        const std::vector<Polygon>& windows) {
  // Nothing but a multiple of the identity commutes with all of a polyhedral group.
  const char kind = scheme.group->symbol.front();
  if (kind == 'I' || kind == 'O' || kind == 'T') return 1;
  const Mat3 one = integrate_places(measure_body(frame, outline, windows));
  Mat3 places = Mat3::Zero();
  for (const int element : scheme.copies) {
    const Mat3& copy = scheme.group->elements[static_cast<std::size_t>(element)];
    places += copy * one * copy.transpose();
  }
  return compare_extents(places);
}

}  // namespace sixtyfold
