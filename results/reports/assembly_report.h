#pragma once
// What `sixtyfold check` says about putting a design together, for people and for machines.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/building/assembly.h"

namespace sixtyfold {

/// Two lines of a report: hard steps and sprung steps, and what is known about them.
void add_assembly_lines(std::string& report, const AssemblyOrder& order);

/// Hours, door and closure, as far as they are in the design's score.
void add_day_lines(std::string& report, const Design& design, const AssemblyOrder& order);

/// { "hard_steps": ..., "spring_steps": ..., "proved": ..., "blocks": ..., "panels_in_block": ...
/// }. proved: that no order with fewer than one hard step exists for straight pushes of these
/// blocks.
nlohmann::ordered_json write_assembly_json(const AssemblyOrder& order);

/// The steps in words, one paragraph each; copies as `check` counts them.
std::string make_order_report(const AssemblyPlan& plan);

/// [ { "copies": [...], "joints": [...], "coming_in": "straight", "push": [x, y, z], "loose": 0 }
/// ].
nlohmann::ordered_json write_steps_json(const AssemblyPlan& plan);

}  // namespace sixtyfold
