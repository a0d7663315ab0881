#pragma once
// JSON laid out for people: whatever fits on a line stands on one line, all else one item a line.

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace sixtyfold {

/// The document and a line end. Keys keep their order; doubles read back the same. All numbers must
/// be finite (JSON has no other): anything else is our bug and asserts.
std::string write_json(const nlohmann::ordered_json& document);

}  // namespace sixtyfold
