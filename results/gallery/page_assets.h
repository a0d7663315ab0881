#pragma once
// The page's own files, built into the program by CMake from results/gallery/.

namespace sixtyfold {

extern const char* const page_html;
extern const char* const page_css;
extern const char* const page_js;
extern const char* const basics_js;
extern const char* const view_js;  // with its controls
extern const char* const count_js;
extern const char* const ballots_js;
extern const char* const vote_js;
extern const char* const parts_html;
extern const char* const vote_html;
extern const char* const paper_html;
extern const char* const paper_js;
extern const char* const cast_html;
extern const char* const cast_js;
extern const char* const words_en_json;
extern const char* const words_de_json;

}  // namespace sixtyfold
