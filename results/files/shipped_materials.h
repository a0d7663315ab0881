#pragma once
// The files of results/materials/ as compiled into the program (CMakeLists.txt writes the source).

#include <vector>

namespace sixtyfold {

struct ShippedFile {
  const char* name;
  const char* text;
};

const std::vector<ShippedFile>& shipped_material_files();

}  // namespace sixtyfold
