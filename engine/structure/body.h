#pragma once
// A panel as a rigid body of uniform sheet: what stiffness and loads need to know of it.

#include <vector>

#include "engine/shape/frame.h"
#include "engine/shape/polygon.h"

namespace sixtyfold {

struct Design;

/// Moments of area of a flat region in space.
struct PanelBody {
  double area_mm2 = 0;
  Vec3 centroid_mm = Vec3::Zero();
  /// Integral of (x - centroid)(x - centroid)^T dA, in space coordinates, mm^4. Rank 2.
  Mat3 second_moments_mm4 = Mat3::Zero();
};

/// Moments of the region inside the outline and outside the holes (Green's theorem).
PanelBody measure_body(const Frame& frame, const Polygon& outline_mm,
                       const std::vector<Polygon>& holes_mm = {});

/// The body of the copy under an orthogonal matrix.
PanelBody make_image(const PanelBody& body, const Mat3& orthogonal);

/// Bodies of all copies of a design, through all orbits in order.
std::vector<PanelBody> find_bodies(const Design& design);

/// Centre of mass of all copies, alike in thickness. The design must have a panel of some area.
Vec3 find_centre_of_mass(const Design& design);

/// Corners of the outline of every copy in space, copies in the same order.
std::vector<std::vector<Vec3>> find_corners(const Design& design);

}  // namespace sixtyfold
