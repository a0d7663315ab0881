#pragma once
// Limits as a JSON object: one key a field, named as in engine/limits.h.

#include <nlohmann/json_fwd.hpp>

#include "engine/limits.h"

namespace sixtyfold {

class JsonCursor;

nlohmann::ordered_json write_limits_json(const Limits& limits);

/// Missing keys keep the default of the struct; other keys are passed over.
/// Throws std::invalid_argument naming file, key and what is allowed.
Limits read_limits_json(const JsonCursor& object);

}  // namespace sixtyfold
