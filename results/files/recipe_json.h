#pragma once
// The recipe of a design, as designs, runs and picks have it.

#include <nlohmann/json.hpp>

#include "engine/design.h"
#include "results/files/json_reader.h"

namespace sixtyfold {

nlohmann::ordered_json write_recipe_json(const Recipe& recipe);

/// What is there of a recipe. Whether there is such a group, plane or family is for the search to
/// say. Throws std::invalid_argument.
Recipe read_recipe_json(const JsonCursor& object);

/// As above, of a design that is its recipe alone: `symmetry`, `plane`, `family` and `parameters`
/// must be there.
Recipe read_whole_recipe_json(const JsonCursor& object);

}  // namespace sixtyfold
