#pragma once
// Numbers in sentences.

#include <string>

namespace sixtyfold {

/// printf into a string. The compiler checks pattern against values.
[[gnu::format(printf, 1, 2)]] std::string format(const char* pattern, ...);

/// "1 joint", "90 joints".
std::string count_of(int number, const char* one, const char* many);

}  // namespace sixtyfold
