#include "engine/utf8.h"

namespace sixtyfold {

Utf8Character read_utf8(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char first = byte(at);
  if (first < 0x80) return {1, first};
  const std::size_t length = first >= 0xf0 ? 4 : first >= 0xe0 ? 3 : 2;
  if (first < 0xc2 || first > 0xf4 || at + length > text.size()) return {};
  std::uint32_t number = first & (0xffU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xc0) != 0x80) return {};
    number = number << 6 | (byte(at + i) & 0x3fU);
  }
  constexpr std::uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
  if (number < least[length] || number > 0x10ffff || (0xd800 <= number && number <= 0xdfff))
    return {};
  return {length, number};
}

bool is_utf8(const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = read_utf8(text, at).length;
    if (length == 0) return false;
    at += length;
  }
  return true;
}

bool is_control(std::uint32_t c) {
  return c < 0x20 || (0x7f <= c && c < 0xa0) || c == 0x61c || c == 0x200e || c == 0x200f ||
         (0x202a <= c && c <= 0x202e) || (0x2066 <= c && c <= 0x2069);
}

}  // namespace sixtyfold
