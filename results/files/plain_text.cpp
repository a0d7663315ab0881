#include "results/files/plain_text.h"

#include <cstdint>

#include "engine/utf8.h"

namespace sixtyfold {

namespace {

constexpr std::size_t longest_word = 240, kept_before = 60, kept_after = 20;

bool is_plain(std::uint32_t c) { return !is_control(c) && c != 0x2028 && c != 0x2029; }

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

std::string make_plain_text(const std::string& given) {
  const std::string text = shorten_words(given);
  std::string plain;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = read_utf8(text, at);
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

std::string quote_for_shell(const std::string& text) {
  if (text.find_first_not_of(
          "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-") ==
      std::string::npos)
    return text;
  std::string quoted = "'";
  for (const char c : text) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

}  // namespace sixtyfold
