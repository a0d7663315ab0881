#pragma once
// What a folder that a command wrote holds, as the page shows it.

#include <filesystem>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "engine/score.h"
#include "results/files/so_far.h"
#include "results/gallery/words.h"

namespace sixtyfold {

/// The designs of a run's folder: of so-far.json where there is one, else of ranking.json, whose
/// designs are read for their keys. Nothing where neither is there yet. Throws
/// std::invalid_argument: a file that no command of ours wrote.
SoFarFile read_designs(const std::filesystem::path& folder);

/// The numbers that matter, each as a pair of the word's key and the text.
std::vector<std::pair<std::string, std::string>> find_facts(const Score& score,
                                                            const std::string& symmetry,
                                                            const GalleryWords& words);

/// [{ "key", "file", "name", "facts": [["panels", "60"], ...], "looks": "...", "why": [...],
///    "panels": 60, ... }]
nlohmann::ordered_json write_cards(const SoFarFile& designs, const GalleryWords& words);

/// A picture of a design file for a card. Throws std::invalid_argument: no such design.
std::string make_card_picture(const std::filesystem::path& design_file);
/// The design as the pages' 3D view draws it, as JSON. Throws std::invalid_argument.
std::string make_card_shape(const std::filesystem::path& design_file);

/// Documents that a person opens, of a folder that kit, gallery or explore wrote: those that are
/// there of a fixed list, the main one first; and how many sheet files.
std::vector<std::string> find_documents(const std::filesystem::path& folder);

}  // namespace sixtyfold
