#pragma once
// The address of a request, taken apart strictly (RFC 3986, origin form of RFC 9112).

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace sixtyfold {

struct Uri {
  std::vector<std::string> path;             ///< "/a/b": {"a", "b"}, "/a/": {"a", ""}, "/": {""}
  std::map<std::string, std::string> query;  ///< of a key given twice the last; + is a space
};

/// Nothing where it is longer than 4,096 bytes, does not begin with a slash, or a segment is empty
/// but the last, is "." or "..", or holds, once decoded, a control character, a slash, a backslash
/// or bytes that are no UTF-8.
std::optional<Uri> read_uri(const std::string& text);

}  // namespace sixtyfold
