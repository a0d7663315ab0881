#include "results/drawings/markup_text.h"

#include "engine/utf8.h"

namespace sixtyfold {
namespace {

// Length of the character at `at`, 0 if there is none that XML 1.0 allows or it controls something.
std::size_t measure_character(const std::string& text, std::size_t at) {
  const Utf8Character c = read_utf8(text, at);
  return is_control(c.number) || c.number == 0xfffe || c.number == 0xffff ? 0 : c.length;
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
