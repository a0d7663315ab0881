#pragma once
// The page of the workshop: a form, designs as they are found, and what can be made of them. It
// speaks to the server it came from (tools/workshop/answer.h) and to nobody else.

#include <string>

#include "results/gallery/words.h"

namespace sixtyfold {

/// A complete HTML document. Its one script carries the nonce, which the server's policy names.
std::string make_workshop_page(const GalleryWords& words, const std::string& nonce);

}  // namespace sixtyfold
