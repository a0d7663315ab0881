#pragma once
// Numbers in sentences.

#include <string>

namespace sixtyfold {

/// printf into a string of any length. The compiler checks pattern against values, which is why
/// this is not done by a library that checks at run time.
[[gnu::format(printf, 1, 2)]] std::string format(const char* pattern, ...);

/// "1 joint", "90 joints".
std::string count_of(int number, const char* one, const char* many);

}  // namespace sixtyfold
