#include "results/files/json_reader.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>

namespace sixtyfold {

using nlohmann::json;

namespace {

std::string show(double value) { return json(value).dump(); }

/// Where parsing stopped, as an editor counts it, and what stands there.
std::string describe_place(const std::string& bytes, std::size_t read) {
  const std::size_t at = std::min(read > 0 ? read - 1 : 0, bytes.size());
  const auto begin = bytes.begin(), end = begin + static_cast<std::ptrdiff_t>(at);
  const auto line = 1 + std::count(begin, end, '\n');
  const std::size_t before = bytes.rfind('\n', at > 0 ? at - 1 : 0);
  const std::size_t column =
      at > 0 && before != std::string::npos && before < at ? at - before : at + 1;
  return "line " + std::to_string(line) + ", column " + std::to_string(column) +
         (at >= bytes.size() ? ": it ends too early"
                             : ": unexpected " + quote(bytes.substr(at, 1)));
}

}  // namespace

std::string quote(const std::string& text) {
  constexpr std::size_t longest = 60;
  std::string quoted = "\"";
  for (const char c : text.substr(0, longest)) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte < 32 || byte >= 127 || c == '"') {
      constexpr char digits[] = "0123456789abcdef";
      quoted += std::string("\\x") + digits[byte >> 4] + digits[byte & 15];
    } else {
      quoted += c;
    }
  }
  return quoted + (text.size() > longest ? "...\"" : "\"");
}

JsonCursor::JsonCursor(std::shared_ptr<const json> root, const json* value, std::string where,
                       std::string path)
    : root_(std::move(root)), value_(value), where_(std::move(where)), path_(std::move(path)) {}

JsonCursor JsonCursor::parse(const std::string& bytes, const std::string& where) {
  std::vector<std::set<std::string>> open_objects;
  const auto watch = [&](int depth, json::parse_event_t event, json& parsed) {
    if (depth >= largest_json_depth)
      throw std::invalid_argument(where + ": is nested deeper than " +
                                  std::to_string(largest_json_depth) + " levels");
    if (event == json::parse_event_t::object_start) open_objects.emplace_back();
    if (event == json::parse_event_t::object_end) open_objects.pop_back();
    if (event == json::parse_event_t::key) {
      const auto& key = parsed.get_ref<const std::string&>();
      if (!open_objects.back().insert(key).second)
        throw std::invalid_argument(where + ": the key " + quote(key) +
                                    " is given twice in one object");
    }
    return true;
  };
  try {
    auto root = std::make_shared<const json>(json::parse(bytes, watch));
    const json* value = root.get();
    return JsonCursor(std::move(root), value, where, "");
  } catch (const json::parse_error& error) {
    throw std::invalid_argument(where +
                                ": is not valid JSON: " + describe_place(bytes, error.byte));
  } catch (const json::exception&) {
    throw std::invalid_argument(where + ": is not valid JSON: it holds a number that is too large");
  }
}

void JsonCursor::fail(const std::string& sentence) const {
  throw std::invalid_argument(where_ + ": " + (path_.empty() ? "" : path_ + ": ") + sentence);
}

std::string JsonCursor::describe() const {
  if (value_->is_string()) return quote(value_->get_ref<const std::string&>());
  if (value_->is_array()) return "an array of " + std::to_string(value_->size());
  if (value_->is_object()) return "an object";
  return value_->dump();
}

JsonCursor JsonCursor::child(const json& value, const std::string& step) const {
  return JsonCursor(root_, &value, where_, path_ + step);
}

std::optional<JsonCursor> JsonCursor::find(const std::string& key) const {
  if (!value_->is_object()) fail("is " + describe() + "; an object is needed");
  const auto found = value_->find(key);
  if (found == value_->end()) return std::nullopt;
  return child(*found, (path_.empty() ? "" : ".") + key);
}

JsonCursor JsonCursor::at(const std::string& key) const {
  if (auto found = find(key)) return *found;
  fail("the key " + quote(key) + " is missing");
}

std::vector<std::string> JsonCursor::keys() const {
  if (!value_->is_object()) fail("is " + describe() + "; an object is needed");
  std::vector<std::string> names;
  for (const auto& item : value_->items()) names.push_back(item.key());
  return names;
}

std::vector<JsonCursor> JsonCursor::array(std::size_t low, std::size_t high) const {
  const std::string allowed =
      low == high ? std::to_string(low) : std::to_string(low) + " to " + std::to_string(high);
  if (!value_->is_array()) fail("is " + describe() + "; an array of " + allowed + " is needed");
  if (value_->size() < low || value_->size() > high)
    fail("has " + std::to_string(value_->size()) + " elements; " + allowed + " are allowed");
  std::vector<JsonCursor> elements;
  elements.reserve(value_->size());
  for (std::size_t i = 0; i < value_->size(); ++i)
    elements.push_back(child((*value_)[i], "[" + std::to_string(i) + "]"));
  return elements;
}

bool JsonCursor::is_object() const { return value_->is_object(); }

double JsonCursor::number(double low, double high) const {
  const std::string allowed = show(low) + " to " + show(high);
  if (!value_->is_number()) fail("is " + describe() + "; a number from " + allowed + " is needed");
  const double value = value_->get<double>();
  if (!(low <= value && value <= high)) fail("is " + describe() + "; allowed is " + allowed);
  return value;
}

std::int64_t JsonCursor::integer(std::int64_t low, std::int64_t high) const {
  const std::string allowed = std::to_string(low) + " to " + std::to_string(high);
  const auto refuse = [&] {
    fail("is " + describe() + "; a whole number from " + allowed + " is needed");
  };
  if (!value_->is_number()) refuse();
  const double value = value_->get<double>();
  if (!(static_cast<double>(low) <= value && value <= static_cast<double>(high)) ||
      value != std::floor(value) || std::abs(value) > 9e15)
    refuse();
  return static_cast<std::int64_t>(value);
}

std::uint64_t JsonCursor::unsigned_integer() const {
  if (!value_->is_number_unsigned())
    fail("is " + describe() + "; a whole number from 0 to 18446744073709551615 is needed");
  return value_->get<std::uint64_t>();
}

bool JsonCursor::boolean() const {
  if (!value_->is_boolean()) fail("is " + describe() + "; true or false is needed");
  return value_->get<bool>();
}

std::string JsonCursor::text(std::size_t largest_bytes) const {
  if (!value_->is_string()) fail("is " + describe() + "; a string is needed");
  const auto& value = value_->get_ref<const std::string&>();
  if (value.size() > largest_bytes)
    fail("has " + std::to_string(value.size()) + " bytes; at most " +
         std::to_string(largest_bytes) + " are allowed");
  const auto is_control = [](char c) { return (0 <= c && c < 32) || c == 127; };
  if (std::any_of(value.begin(), value.end(), is_control))
    fail("is " + describe() + "; control characters are not allowed");
  return value;
}

}  // namespace sixtyfold
