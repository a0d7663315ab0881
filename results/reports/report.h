#pragma once
// What `sixtyfold check` says about a design, for people and for machines.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/building/assembly_order.h"
#include "engine/variant/inspection.h"

namespace sixtyfold {

/// Plain text, lines of at most 100 columns, ending with the verdict. Computed numbers only.
/// `order`: of its assembly, where that is known.
std::string make_report(const Inspection& inspection, const AssemblyOrder* order = nullptr);

/// { "buildable": ..., "faults": [...], "score": {...} }
nlohmann::ordered_json write_inspection_json(const Inspection& inspection);

}  // namespace sixtyfold
