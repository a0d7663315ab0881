#include "results/files/json_writer.h"

#include <cassert>
#include <cmath>
#include <nlohmann/json.hpp>

namespace sixtyfold {

using nlohmann::ordered_json;

namespace {

/// Wide enough for a rotation, a joint or a point; a score or a list of points goes over many
/// lines.
constexpr std::size_t line_width = 250;

/// One line, with a blank after commas and colons. Stops early once it is longer than a line.
void append_line(std::string& text, const ordered_json& value, std::size_t stop) {
  if (text.size() > stop) return;
  if (!value.is_structured()) {
    assert(!value.is_number_float() || std::isfinite(value.get<double>()));
    text += value.dump();
    return;
  }
  const bool is_object = value.is_object();
  text += is_object ? "{" : "[";
  const char* separator = "";
  for (const auto& item : value.items()) {
    text += separator;
    separator = ", ";
    if (is_object) text += ordered_json(item.key()).dump() + ": ";
    append_line(text, item.value(), stop);
  }
  text += is_object ? "}" : "]";
}

void append(std::string& text, const ordered_json& value, std::size_t indent) {
  const std::size_t start = text.size();
  const std::size_t stop = start + line_width - std::min(indent, line_width);
  append_line(text, value, stop);
  if (text.size() <= stop || !value.is_structured() || value.empty()) return;
  text.resize(start);
  const bool is_object = value.is_object();
  text += is_object ? "{" : "[";
  const char* separator = "\n";
  for (const auto& item : value.items()) {
    text += separator;
    separator = ",\n";
    text.append(indent + 2, ' ');
    if (is_object) text += ordered_json(item.key()).dump() + ": ";
    append(text, item.value(), indent + 2);
  }
  text += "\n" + std::string(indent, ' ') + (is_object ? "}" : "]");
}

}  // namespace

std::string write_json(const ordered_json& document) {
  std::string text;
  append(text, document, 0);
  text += "\n";
  return text;
}

}  // namespace sixtyfold
