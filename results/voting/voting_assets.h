#pragma once
// The desk page's own files, built into the program by CMake from results/voting/.

namespace sixtyfold {

extern const char* const desk_html;
extern const char* const desk_css;
extern const char* const desk_js;

}  // namespace sixtyfold
