#pragma once
// One page to wander through everything a run keeps: everything inside, nothing loaded from
// anywhere.

#include <string>

#include "results/gallery/words.h"
#include "results/map/map_items.h"

namespace sixtyfold {

struct MapOptions {
  GalleryWords words = read_gallery_words("en");
  std::string identity;  ///< of the run
};

/// A complete HTML document: a map on which like lies by like, any two numbers against each other
/// with the best front, sliders that filter, designs turned in 3D, and picks to be saved as a file
/// (results/files/picks_json.h). The page forbids itself every request (content security policy).
/// About a kilobyte a design. Same items, same bytes. Throws std::invalid_argument: no item.
std::string make_map_page(const SearchTask& task, const MapItems& items, const MapOptions& options);

}  // namespace sixtyfold
