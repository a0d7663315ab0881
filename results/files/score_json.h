#pragma once
// Score as a JSON object: one key a field, named as in engine/score.h.

#include <nlohmann/json_fwd.hpp>

#include "engine/score.h"

namespace sixtyfold {

class JsonCursor;

nlohmann::ordered_json write_score_json(const Score& score);

/// Missing keys keep the default of the struct; other keys are passed over.
/// Throws std::invalid_argument naming file, key and what is allowed.
Score read_score_json(const JsonCursor& object);

}  // namespace sixtyfold
