#pragma once
// Material files: JSON, shipped with the program or written by its user. Every value is written
// with its source: "thickness_mm": {"value": 4.0, "source": "..."}.

#include <string>
#include <vector>

#include "engine/stock/material.h"

namespace sixtyfold {

/// The file's text. Reads back to the same material.
std::string write_material_json(const Material& material);

/// `where` is the file's name. Throws std::invalid_argument: one sentence with the file, the JSON
/// path and what is allowed.
Material read_material_json(const std::string& bytes, const std::string& where);

/// The materials compiled into the program from results/materials/, by name.
const std::vector<Material>& find_shipped_materials();

/// A shipped material's name, or a file: whatever holds a '/' or ends in ".json" is a file.
/// Throws std::invalid_argument; for an unknown name the sentence lists those there are.
Material load_material(const std::string& name_or_file);

/// One line a material: name, title, thickness, mass, sheet sizes.
std::string describe_materials();

}  // namespace sixtyfold
