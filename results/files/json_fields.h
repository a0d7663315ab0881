#pragma once
// One table of fields for a struct serves writing and reading: a function visit_fields(value,
// visit) calls visit("name", value.name) for each field, and the two visitors here do the rest.

#include <climits>
#include <cstdint>
#include <limits>
#include <nlohmann/json.hpp>
#include <string>

#include "results/files/json_reader.h"

namespace sixtyfold {

/// Writes every field. An int at INT_MAX and an infinite number mean "no limit" and are left out.
struct FieldWriter {
  nlohmann::ordered_json& object;

  void operator()(const char* name, int value) const {
    if (value != INT_MAX) object[name] = value;
  }
  void operator()(const char* name, double value) const {
    if (value != std::numeric_limits<double>::infinity()) object[name] = value;
  }
  template <class Value>
  void operator()(const char* name, const Value& value) const {
    if constexpr (std::is_enum_v<Value>)
      object[name] = name_of(value);
    else
      object[name] = value;
  }
};

/// Reads every field that is there; the others keep their value.
struct FieldReader {
  const JsonCursor& object;

  template <class Value>
  void operator()(const char* name, Value& value) const {
    if (const auto field = object.find(name)) read(*field, value);
  }

 private:
  static void read(const JsonCursor& field, double& value) { value = field.number(-1e12, 1e12); }
  static void read(const JsonCursor& field, int& value) {
    value = static_cast<int>(field.integer(0, INT_MAX));
  }
  static void read(const JsonCursor& field, std::uint64_t& value) {
    value = field.unsigned_integer();
  }
  static void read(const JsonCursor& field, bool& value) { value = field.boolean(); }
  static void read(const JsonCursor& field, std::string& value) { value = field.text(4000); }
  template <class Enum>
  requires std::is_enum_v<Enum>
  static void read(const JsonCursor& field, Enum& value) {
    try {
      parse_name(field.text(), value);
    } catch (const std::invalid_argument& error) {
      field.fail(error.what());
    }
  }
};

}  // namespace sixtyfold
