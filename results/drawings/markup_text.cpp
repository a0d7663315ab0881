#include "results/drawings/markup_text.h"

#include <cstdint>

namespace sixtyfold {
namespace {

// Length of the UTF-8 character at `at`, 0 if there is none that XML 1.0 allows.
std::size_t measure_character(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) -> std::uint32_t {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  const std::uint32_t first = byte(at);
  if (first < 0x80) return first >= 0x20 && first != 0x7f ? 1 : 0;
  const std::size_t length = first >= 0xf0 && first < 0xf5   ? 4
                             : first >= 0xe0 && first < 0xf0 ? 3
                             : first >= 0xc2 && first < 0xe0 ? 2
                                                             : 0;
  if (length == 0) return 0;
  std::uint32_t code = first & (0x7fu >> length);
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xc0u) != 0x80u) return 0;
    code = code << 6 | (byte(at + i) & 0x3fu);
  }
  const bool overlong = (length == 3 && code < 0x800) || (length == 4 && code < 0x10000);
  const bool surrogate = 0xd800 <= code && code < 0xe000;
  // C1 controls, the marks that turn the direction of a whole line, and the two non-characters.
  const bool control = code < 0xa0 || (0x202a <= code && code <= 0x202e) ||
                       (0x2066 <= code && code <= 0x2069) || code == 0xfffe || code == 0xffff;
  return overlong || surrogate || control || code > 0x10ffff ? 0 : length;
}

}  // namespace

std::string make_markup_text(const std::string& text, std::size_t most_characters) {
  std::string safe;
  std::size_t characters = 0;
  for (std::size_t at = 0; at < text.size(); ++characters) {
    if (characters == most_characters) return safe + "\u2026";
    const std::size_t length = measure_character(text, at);
    if (length == 0) {
      safe += "\ufffd";
    } else if (length > 1) {
      safe.append(text, at, length);
    } else {
      switch (text[at]) {
        case '&':
          safe += "&amp;";
          break;
        case '<':
          safe += "&lt;";
          break;
        case '>':
          safe += "&gt;";
          break;
        case '"':
          safe += "&quot;";
          break;
        case '\'':
          safe += "&#39;";
          break;
        default:
          safe += text[at];
      }
    }
    at += length == 0 ? 1 : length;
  }
  return safe;
}

}  // namespace sixtyfold
