#pragma once
// Builders of plate structures for the tests: polyhedra, rings of hinged bodies, symmetric orbits.

#include <utility>
#include <vector>

#include "engine/structure/stiffness.h"
#include "engine/symmetry/point_group.h"

namespace sixtyfold {

/// Flat faces with a hinge on each edge that two kept faces share.
struct Plates {
  std::vector<Vec3> vertices;
  std::vector<std::vector<int>> faces;  ///< in order round each face
};

/// The body of a flat polygon in space.
PanelBody make_body(const std::vector<Vec3>& polygon);

/// The convex polyhedron whose face planes are the images of a plane at distance 1.
Plates make_polyhedron(const PointGroup& group, const Vec3& normal);

/// Pairs of faces that share an edge.
std::vector<std::pair<int, int>> find_adjacent_faces(const Plates& plates);

/// Hinged at all shared edges, without the named faces.
Structure make_hinged(const Plates& plates, const std::vector<int>& removed_faces = {});

/// A line in space.
struct HingeLine {
  Vec3 point, direction;
};

/// A ring of bodies: hinge k joins body k and body k + 1. The bodies are squares at the hinges.
Structure make_ring(const std::vector<HingeLine>& hinges);

/// Internal freedoms by singular values of the screw equations (Tay and Whiteley 1984): the slow
/// reference, which shares nothing with engine/structure.
int count_freedoms_by_screws(const Structure& structure);

}  // namespace sixtyfold
