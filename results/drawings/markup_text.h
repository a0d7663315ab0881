#pragma once
// Text of others inside XML and HTML.

#include <string>

namespace sixtyfold {

/// Safe as text and inside quoted attributes of XML and HTML: & < > " ' become references, control
/// characters and bytes that are not UTF-8 become U+FFFD, and at most `most_characters` are kept
/// (an ellipsis shows the cut).
std::string make_markup_text(const std::string& text, std::size_t most_characters = 200);

}  // namespace sixtyfold
