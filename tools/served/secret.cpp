#include "tools/served/secret.h"

#include <sys/random.h>

#include <cerrno>
#include <stdexcept>

namespace sixtyfold {

namespace {

unsigned char draw_byte() {
  unsigned char byte = 0;
  ssize_t got;
  do {
    got = getrandom(&byte, 1, 0);
  } while (got < 0 && errno == EINTR);
  if (got != 1) throw std::runtime_error("the system gives no random numbers");
  return byte;
}

}  // namespace

std::string make_token() {
  std::string token;
  for (int i = 0; i < 16; ++i) {
    const unsigned char byte = draw_byte();
    token += "0123456789abcdef"[byte >> 4];
    token += "0123456789abcdef"[byte & 15];
  }
  return token;
}

std::string make_code(std::size_t letters) {
  static const std::string alphabet = "bcdfghjkmnpqrstvwxz";
  // Bytes beyond the last whole round of the alphabet are drawn again: each letter is as likely.
  const auto whole = static_cast<unsigned>(256 / alphabet.size() * alphabet.size());
  std::string code;
  while (code.size() < letters) {
    const unsigned byte = draw_byte();
    if (byte < whole) code += alphabet[byte % alphabet.size()];
  }
  return code;
}

bool is_same_secret(const std::string& a, const std::string& b) {
  if (a.size() != b.size()) return false;
  unsigned difference = 0;
  for (std::size_t i = 0; i < a.size(); ++i)
    difference |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]);
  return difference == 0;
}

}  // namespace sixtyfold
