#pragma once
// What somebody picked and rejected on a map: recipes, from which the designs can be made again.

#include <string>
#include <vector>

#include "engine/design.h"

namespace sixtyfold {

struct Picks {
  std::string run;  ///< identity of the run whose map it was; may be empty
  std::vector<Recipe> picked, rejected;
};

/// { "format": "sixtyfold-picks", "version": 1, "run": "run-...",
///   "picked": [{ "symmetry": "I", "plane": "generic", "family": "radial",
///                "parameters": [1.2, ...] }, ...], "rejected": [...] }
/// Throws std::invalid_argument with one sentence: not such a file, too many, out of range. The
/// recipes' words are not looked up.
Picks read_picks_json(const std::string& bytes, const std::string& where);

}  // namespace sixtyfold
