#pragma once
// How a design hangs or stands, in words.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/structure/load.h"

namespace sixtyfold {

/// The load case as given and what came of it: deflection, the most strained joint beside the
/// glue's strength, the pull or push at each support, and the cautions. Lines as in make_report.
std::string make_load_report(const Design& design, const LoadCase& load_case,
                             const LoadResult& result);

/// The same numbers as a JSON object.
nlohmann::ordered_json write_load_json(const LoadCase& load_case, const LoadResult& result);

}  // namespace sixtyfold
