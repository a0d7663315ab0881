#pragma once
// Hand-made designs whose answers are in textbooks: closed polyhedra of equal plates joined edge to
// edge, and plates standing on plates.

#include "engine/design.h"

namespace sixtyfold::test {

/// Cube of inradius r: 6 plates, 12 edge joints of 90 degrees. Frames from one plate by rotations.
Design make_cube(double inradius_mm, double thickness_mm);
/// Regular dodecahedron: 12 plates, 30 edge joints of 116.565051 degrees.
Design make_dodecahedron(double inradius_mm, double thickness_mm);
/// A plate 200 x 160 standing on the middle of a plate 400 x 400, two panel types, one tab joint
/// 160 mm long at the given acute plane angle. Copy 0 is the standing plate, copy 1 the floor.
Design make_plate_on_plate(double angle_deg, double thickness_mm);

}  // namespace sixtyfold::test
