#pragma once
// The workshop page's own files, built into the program by CMake from results/workshop/.

namespace sixtyfold {

extern const char* const workshop_html;
extern const char* const workshop_css;
extern const char* const workshop_js;

}  // namespace sixtyfold
