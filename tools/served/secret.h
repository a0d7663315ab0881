#pragma once
// Words nobody can guess: for addresses and for slips.

#include <cstddef>
#include <string>

namespace sixtyfold {

/// 128 bits of the system's randomness as 32 hexadecimal digits.
std::string make_token();

/// `letters` consonants without look-alikes (bcdfghjkmnpqrstvwxz: no word, nothing to misread),
/// each drawn evenly by the system's randomness.
std::string make_code(std::size_t letters);

/// Whether both are the same, in a time that tells nothing of where they differ.
bool is_same_secret(const std::string& a, const std::string& b);

}  // namespace sixtyfold
