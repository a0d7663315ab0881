#pragma once
// A design as the pages' 3D view (view.js) draws it.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/part/finished.h"

namespace sixtyfold {

/// Panels in millimetres with their triangles and copies, colours by a word of choose_colours, the
/// first view's direction and the axes it snaps to. Outlines are as fine as a screen shows. With
/// `finished` the folded tabs, too.
nlohmann::ordered_json make_page_shape(const Design& design, const std::string& colours_word,
                                       const Finished* finished = nullptr);

}  // namespace sixtyfold
