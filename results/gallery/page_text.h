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

/// "like a football (I)". A turned-over copy is no other part, so that what has mirrors and what
/// has none go by the same thing; the symbol tells. The symbol must be a group's.
std::string describe_symmetry(const std::string& symbol, const GalleryWords& words);

/// One sentence on what speaks for a design's looks and what against; "" where they were not
/// measured.
std::string explain_looks(const Score& score, const Taste& taste, const GalleryWords& words);

}  // namespace sixtyfold
