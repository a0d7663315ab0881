#pragma once
// What the pages share when they are put together.

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <utility>
#include <vector>

#include "engine/appeal/taste.h"
#include "results/gallery/words.h"

namespace sixtyfold {

/// Replaces every {{key}} by its part, and {{w.key}} by the words of that key, escaped; what is put
/// in is not looked at again. A key of neither must not occur.
std::string fill_in(const std::string& page, const GalleryWords& words,
                    const std::vector<std::pair<std::string, std::string>>& parts);

/// JSON to stand inside <script>: no "</script" and no "<!--" occurs in it.
std::string write_script_json(const nlohmann::ordered_json& document);

/// The stretch of a file of parts between "<!-- name -->" and the next such line.
std::string find_part(const std::string& parts, const std::string& name);

/// What a page opened from disk may do, besides what `more` adds: "; connect-src 'self'".
std::string make_policy_tag(const std::string& more = "");
/// From the document type to the end of the style, inside <head>. The title as markup; `policy`
/// empty where the server says it.
std::string make_page_head(const GalleryWords& words, const std::string& title,
                           const std::string& style, const std::string& policy);
/// The buttons that turn and enlarge a 3D view, by results/gallery/view.js.
std::string make_turn_buttons(const GalleryWords& words);
/// The words as the pages' scripts read them, without those whose key begins so.
nlohmann::ordered_json make_script_words(const GalleryWords& words,
                                         const std::vector<std::string>& without = {});

/// "like a football (I)". A turned-over copy is no other part, so that what has mirrors and what
/// has none go by the same thing; the symbol tells. The symbol must be a group's.
std::string describe_symmetry(const std::string& symbol, const GalleryWords& words);

/// One sentence on what speaks for a design's looks and what against; "" where they were not
/// measured.
std::string explain_looks(const Score& score, const Taste& taste, const GalleryWords& words);

}  // namespace sixtyfold
