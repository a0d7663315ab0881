#pragma once
// The recipe of a design as the files of a run and of its map have it.

#include "engine/design.h"
#include "results/files/json_reader.h"

namespace sixtyfold {

/// `symmetry`, `plane`, `family` and `parameters` of an object; all must be there. Whether there is
/// such a group, plane or family is for the search to say. Throws std::invalid_argument.
Recipe read_plain_recipe(const JsonCursor& object);

}  // namespace sixtyfold
