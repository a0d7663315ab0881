#pragma once
// What of a design's looks follows from areas and lengths alone: cheap enough for every variant.

#include <span>

#include "engine/shape/polygon.h"
#include "engine/vectors.h"

namespace sixtyfold {

struct Orbit;
struct OrbitScheme;
struct Frame;

/// Mean number of panels on a straight line through the enclosing sphere: area of all panels, one
/// side, / (2 pi radius^2) (Cauchy and Crofton's formula; Santalo 1976, chapter 14). 0 for no
/// radius.
double measure_layers(double panels_area_mm2, double radius_mm);

/// Area of a panel over the square of its greatest extent: pi/4 for a disc, little for a blade.
/// `hull`: the convex hull of its outline. 0 for a hull of no extent.
double measure_slenderness(double area_mm2, const Polygon& hull);

/// How evenly the board lies about the centre in all directions: square root of least / greatest
/// eigenvalue of the integral of x x^T over all panels. 1 for every polyhedral group, 0 for what is
/// flat.
double measure_evenness(std::span<const Orbit> orbits);
/// The same for one panel's images under a scheme.
double measure_evenness(const OrbitScheme& scheme, const Frame& frame, const Polygon& outline,
                        const std::vector<Polygon>& windows = {});

}  // namespace sixtyfold
