#pragma once
// The outline family "carved": not drawn in the plane but cut out of one body that the group
// carries into itself, so that the outlines of all panels belong together: round tunnels along the
// axes, hollows whose walls are the panels' edges, domes.
// The family "cells": outlines that follow the planes of the other copies.

#include <span>
#include <string>
#include <vector>

#include "engine/shape/outline_family.h"
#include "engine/shape/section.h"
#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// Its name and parameters; it has no trace, since it needs group and plane.
///   body     below 1.6 a ball, below 2.3 balls around the images of a point on an axis, below 3 a
///            convex polyhedron with its faces across an axis, else ellipsoids of revolution on an
///            axis, the wider the more
///   body_axis, body_at   which axis; how far out the solid balls lie
///   hollow_1, hollow_2   each a ball around the images of a point on an axis: _axis, _at, _radius;
///            below a radius of 0.12 the second is left out
///   core     radius of a hollow in the middle; none below 0.15
/// Lengths are shares of the body's radius.
const OutlineFamily& carved_family();

/// Outlines made of whole cells of the arrangement of meeting lines (engine/contact/cells.h): those
/// whose middle lies inside an outline of the family radial with these parameters.
const OutlineFamily& celled_family();

/// Those and outline_families(). Throws std::invalid_argument with the allowed names.
const OutlineFamily& find_any_family(const std::string& name);
std::vector<std::string> find_family_names();

/// Directions that the group carries into each other: one set for each class of its axes, or of the
/// axes of space where it has none.
using AxisOrbits = std::vector<std::vector<Vec3>>;
AxisOrbits find_axis_orbits(const PointGroup& group);

/// The body of these values (in the order of the family's parameters); its radius is that of the
/// enclosing sphere, before anything is taken away.
void make_body(const AxisOrbits& axes, std::span<const double> values, double radius, Body& body);

}  // namespace sixtyfold
