#pragma once
// The map page's own files, built into the program by CMake from results/map/.

namespace sixtyfold {

extern const char* const map_html;
extern const char* const map_css;
extern const char* const map_js;

}  // namespace sixtyfold
