#pragma once
// Reading JSON that a stranger may have written. A cursor stands on one value and knows its path,
// so that every complaint names the file, the place and what is allowed.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

namespace sixtyfold {

/// Deepest nesting of arrays and objects that is read.
inline constexpr int largest_json_depth = 32;

/// `text` in quotes, control characters written as \xNN, cut after 60 bytes: safe to print.
std::string quote(const std::string& text);

/// Promises: every function either returns a value in the stated range or throws
/// std::invalid_argument with one sentence "WHERE: PATH: ...". Cheap to copy.
class JsonCursor {
 public:
  /// Parses a whole document. Refuses syntax errors, nesting beyond largest_json_depth, keys given
  /// twice in one object, and numbers beyond the range of a double. `where` is the file's name.
  static JsonCursor parse(const std::string& bytes, const std::string& where);

  /// The member of an object; throws when this is no object or has no such member.
  JsonCursor at(const std::string& key) const;
  /// The same, or nothing when the member is missing.
  std::optional<JsonCursor> find(const std::string& key) const;
  /// Names of an object's members, sorted.
  std::vector<std::string> keys() const;
  /// The elements of an array that must have low to high of them.
  std::vector<JsonCursor> array(std::size_t low, std::size_t high) const;

  bool is_object() const;
  double number(double low, double high) const;
  std::int64_t integer(std::int64_t low, std::int64_t high) const;
  std::uint64_t unsigned_integer() const;
  bool boolean() const;
  /// A string of at most `largest_bytes` without control characters.
  std::string text(std::size_t largest_bytes = 200) const;

  /// Throws "WHERE: PATH: SENTENCE".
  [[noreturn]] void fail(const std::string& sentence) const;
  const std::string& path() const { return path_; }

 private:
  JsonCursor(std::shared_ptr<const nlohmann::json> root, const nlohmann::json* value,
             std::string where, std::string path);
  JsonCursor child(const nlohmann::json& value, const std::string& step) const;
  std::string describe() const;

  std::shared_ptr<const nlohmann::json> root_;
  const nlohmann::json* value_;
  std::string where_, path_;
};

}  // namespace sixtyfold
