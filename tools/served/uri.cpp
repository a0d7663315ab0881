#include "tools/served/uri.h"

#include <algorithm>

#include "engine/utf8.h"

namespace sixtyfold {

namespace {

constexpr std::size_t most_bytes = 4096;

int read_digit(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

enum class PlusMeans { plus, space };

/// Nothing where a percent sign has no two digits, or what comes out is no plain text.
std::optional<std::string> decode(const std::string& text, PlusMeans plus) {
  std::string bytes;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '+' && plus == PlusMeans::space) {
      bytes += ' ';
    } else if (text[i] != '%') {
      bytes += text[i];
    } else {
      if (i + 2 >= text.size()) return std::nullopt;
      const int high = read_digit(text[i + 1]), low = read_digit(text[i + 2]);
      if (high < 0 || low < 0) return std::nullopt;
      bytes += static_cast<char>(16 * high + low);
      i += 2;
    }
  }
  const auto is_control = [](char c) { return static_cast<unsigned char>(c) < 32 || c == 127; };
  if (std::any_of(bytes.begin(), bytes.end(), is_control) || !is_utf8(bytes)) return std::nullopt;
  return bytes;
}

template <class Each>
bool split(const std::string& text, char separator, Each each) {
  for (std::size_t begin = 0;;) {
    const std::size_t end = std::min(text.find(separator, begin), text.size());
    if (!each(text.substr(begin, end - begin), end == text.size())) return false;
    if (end == text.size()) return true;
    begin = end + 1;
  }
}

}  // namespace

std::optional<Uri> read_uri(const std::string& text) {
  if (text.empty() || text[0] != '/' || text.size() > most_bytes) return std::nullopt;
  const std::size_t mark = std::min(text.find('?'), text.size());
  Uri uri;
  const bool has_path =
      split(text.substr(1, mark - 1), '/', [&](const std::string& part, bool is_last) {
        const auto segment = decode(part, PlusMeans::plus);
        if (!segment || (segment->empty() && !is_last) || *segment == "." || *segment == ".." ||
            segment->find_first_of("/\\") != std::string::npos)
          return false;
        uri.path.push_back(*segment);
        return true;
      });
  if (!has_path) return std::nullopt;
  if (mark + 1 >= text.size()) return uri;
  const bool has_query = split(text.substr(mark + 1), '&', [&](const std::string& part, bool) {
    const std::size_t equals = std::min(part.find('='), part.size());
    const auto key = decode(part.substr(0, equals), PlusMeans::space);
    const auto value =
        decode(equals < part.size() ? part.substr(equals + 1) : "", PlusMeans::space);
    if (!key || !value) return false;
    if (!part.empty()) uri.query[*key] = *value;
    return true;
  });
  if (!has_query) return std::nullopt;
  return uri;
}

}  // namespace sixtyfold
