#pragma once
// What a run was asked for, as a JSON object.

#include <nlohmann/json_fwd.hpp>

#include "search/run/run_plan.h"

namespace sixtyfold {

class JsonCursor;

nlohmann::ordered_json write_run_plan_json(const RunPlan& plan);

/// Missing keys keep the default; other keys are passed over.
/// Throws std::invalid_argument naming file, key and what is allowed.
RunPlan read_run_plan_json(const JsonCursor& object);

}  // namespace sixtyfold
