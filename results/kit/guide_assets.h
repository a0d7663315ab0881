#pragma once
// The guide page's own files, built into the program by CMake from results/kit/.

namespace sixtyfold {

extern const char* const guide_html;
extern const char* const guide_css;
extern const char* const guide_js;

}  // namespace sixtyfold
