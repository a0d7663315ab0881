#pragma once
// Telling one run of bytes from another.

#include <cstdint>
#include <string_view>

namespace sixtyfold {

/// 64-bit FNV-1a (Fowler, Noll and Vo). Against accidents, not against people.
class Hash {
 public:
  void add(std::string_view bytes) {
    for (const char byte : bytes) add_byte(static_cast<unsigned char>(byte));
  }
  /// Lowest byte first.
  void add(std::int64_t value) {
    for (int byte = 0; byte < 8; ++byte) add_byte(static_cast<std::uint64_t>(value) >> (8 * byte));
  }
  std::uint64_t value() const { return state_; }

 private:
  void add_byte(std::uint64_t byte) { state_ = (state_ ^ (byte & 0xff)) * 0x100000001b3u; }
  std::uint64_t state_ = 0xcbf29ce484222325u;
};

inline std::uint64_t make_hash(std::string_view bytes) {
  Hash hash;
  hash.add(bytes);
  return hash.value();
}

}  // namespace sixtyfold
