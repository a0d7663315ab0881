#pragma once
// A file of a folder as an answer: nothing outside that folder, ever.

#include <filesystem>
#include <string>
#include <vector>

#include "tools/served/http_server.h"

namespace sixtyfold {

inline constexpr std::size_t most_served_bytes = 64u << 20;

/// The file at `path` below `folder` with the type of its ending (html, svg, json, pdf, png, csv,
/// dxf, stl, glb, txt; others as bytes). 404 where there is none, where it is no plain file, lies
/// outside the folder once links are followed, begins with a point, or is too large. Pages may run
/// their own scripts and load nothing; all else runs nothing.
HttpResponse make_file_answer(const std::filesystem::path& folder,
                              const std::vector<std::string>& path);

/// The type of a name's ending.
std::string find_media_type(const std::string& name);

}  // namespace sixtyfold
