#pragma once
// Curves given by points along them, written as arcs through the same points.

#include <vector>

#include "engine/shape/polygon.h"

namespace sixtyfold {

/// For each edge of the outline, from corner i to corner i + 1, its bulge: the tangent of a quarter
/// of the arc's angle, positive where the arc runs counter-clockwise, 0 for a straight edge (as in
/// DXF). Corners stay where they are.
///
/// A corner belongs to a curve where the outline turns there by at most 20 degrees. An edge between
/// two such corners is an arc of the mean of the curvatures of the circles through each of them and
/// its neighbours; beside a real corner of the other one's curvature alone. So points of one circle
/// give arcs of that circle. Edges stay straight that are more than 2.2 times as long as both their
/// neighbours, or whose arc would stand out by more than `most_sagitta`.
std::vector<double> find_bulges(const Polygon& outline, double most_sagitta);

/// What an arc of a part at true size may stand out by: the families draw their curves in chords of
/// at most some 100 mm.
inline constexpr double most_sagitta_mm = 3;

/// Radius of the arc of an edge that long.
double find_arc_radius(double length, double bulge);

/// A straight cut through a curve given by points ends on one of its chords, inside the curve by up
/// to the chord's sagitta. The outline with such corners moved along their cuts, by `most_sagitta`
/// at most, to where the next four points of the curve say that it goes: exact on circles, on an
/// ellipse 300 and 180 mm in 64 chords to 0.15 mm. Corners of any other kind stay to the last bit.
Polygon make_corners_true(const Polygon& outline, double most_sagitta);

/// The outline with points put on its arcs, no farther than `tolerance` from their chords.
Polygon make_flattened(const Polygon& outline, const std::vector<double>& bulges, double tolerance);

}  // namespace sixtyfold
