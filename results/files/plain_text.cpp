#include "results/files/plain_text.h"

#include <cstdint>

namespace sixtyfold {

namespace {

constexpr std::size_t longest_word = 240, kept_before = 60, kept_after = 20;

/// One character of UTF-8: its length in bytes, 0 where there is none, and its number.
struct Character {
  std::size_t length = 0;
  std::uint32_t number = 0;
};

Character read_character(const std::string& text, std::size_t at) {
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

bool is_plain(std::uint32_t c) {
  if (c < 0x20 || (0x7f <= c && c < 0xa0)) return false;
  return c != 0x61c && c != 0x200e && c != 0x200f && !(0x2028 <= c && c <= 0x202e) &&
         !(0x2066 <= c && c <= 0x2069);
}

std::string shorten_words(const std::string& text) {
  std::string shortened;
  for (std::size_t begin = 0; begin < text.size();) {
    std::size_t end = text.find(' ', begin);
    if (end == std::string::npos) end = text.size();
    if (end - begin > longest_word)
      shortened +=
          text.substr(begin, kept_before) + "..." + text.substr(end - kept_after, kept_after);
    else
      shortened += text.substr(begin, end - begin);
    if (end < text.size()) shortened += ' ';
    begin = end + 1;
  }
  return shortened;
}

}  // namespace

bool is_utf8(const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = read_character(text, at).length;
    if (length == 0) return false;
    at += length;
  }
  return true;
}

std::string make_plain_text(const std::string& given) {
  const std::string text = shorten_words(given);
  std::string plain;
  for (std::size_t at = 0; at < text.size();) {
    const Character c = read_character(text, at);
    if (c.length > 0 && is_plain(c.number)) {
      plain += text.substr(at, c.length);
      at += c.length;
      continue;
    }
    constexpr char digits[] = "0123456789abcdef";
    for (std::size_t i = 0; i < (c.length > 0 ? c.length : 1); ++i, ++at) {
      const auto byte = static_cast<unsigned char>(text[at]);
      plain += std::string("\\x") + digits[byte >> 4] + digits[byte & 15];
    }
  }
  return plain;
}

}  // namespace sixtyfold
