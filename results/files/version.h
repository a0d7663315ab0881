#pragma once
// Which sixtyfold this is.

#include <string>

namespace sixtyfold {

/// Such as "0.1.0", from CMakeLists.txt.
std::string program_version();

}  // namespace sixtyfold
