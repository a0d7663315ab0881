#pragma once
// The boards of a construction as closed surfaces of triangles, for programs of other trades.

#include <array>
#include <string>
#include <vector>

#include "engine/part/finished.h"

namespace sixtyfold {

/// Triangles over points, counter-clockwise seen from outside. Millimetres.
struct Mesh {
  std::vector<Vec3> points;
  std::vector<std::array<int, 3>> triangles;
};

/// One part as it stands in the construction, in its own frame (x, y, height): the body with its
/// thickness, setbacks, slots and windows, and each tab folded into place; every one of them a
/// closed surface of its own. They touch at the folds.
Mesh make_part_mesh(const FinishedPart& part, double thickness_mm);

/// Volume that closed surfaces enclose (divergence theorem); below 0 when they are inside out.
double measure_volume(const Mesh& mesh);

/// Binary glTF 2.0 (Khronos 2017): metres, y up, a mesh for each part and a node for each copy,
/// numbered from 1.
std::string make_gltf(const Design& design, const Finished& finished);

/// Binary STL: millimetres, z up, every copy's triangles one after another.
std::string make_stl(const Design& design, const Finished& finished);

}  // namespace sixtyfold
