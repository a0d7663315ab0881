#pragma once
// Bytes as UTF-8 (RFC 3629): no overlong forms, no surrogates, nothing past U+10FFFF.

#include <cstdint>
#include <string>

namespace sixtyfold {

/// One character: its length in bytes, 0 where there is none, and its number.
struct Utf8Character {
  std::size_t length = 0;
  std::uint32_t number = 0;
};

/// The character that begins at `at`, which lies in the text.
Utf8Character read_utf8(const std::string& text, std::size_t at);

/// Whether all of it is well-formed.
bool is_utf8(const std::string& text);

/// Whether a character turns the direction of writing (U+061C, U+200E, U+200F, U+202A to U+202E,
/// U+2066 to U+2069; Unicode Standard Annex 9) or controls something (U+0000 to U+001F, U+007F to
/// U+009F).
bool is_control(std::uint32_t character);

}  // namespace sixtyfold
