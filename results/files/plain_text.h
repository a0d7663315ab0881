#pragma once
// Text of others on its way to a terminal or a shell.

#include <string>

namespace sixtyfold {

/// Safe to print on one line: control characters, characters that turn the direction of writing
/// (U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069; Unicode Standard Annex 9), line
/// separators and bytes that are not UTF-8 become \xNN; of a word of more than 240 bytes the first
/// 60 and the last 20 are kept.
std::string make_plain_text(const std::string& text);

/// As a shell takes it for one word.
std::string quote_for_shell(const std::string& text);

}  // namespace sixtyfold
