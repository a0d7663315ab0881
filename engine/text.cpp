#include "engine/text.h"

#include <algorithm>
#include <cstdarg>
#include <cstdio>

namespace sixtyfold {

std::string format(const char* pattern, ...) {
  va_list values, again;
  va_start(values, pattern);
  va_copy(again, values);
  std::string text(
      static_cast<std::size_t>(std::max(0, std::vsnprintf(nullptr, 0, pattern, values))), '\0');
  std::vsnprintf(text.data(), text.size() + 1, pattern, again);
  va_end(again);
  va_end(values);
  return text;
}

std::string count_of(int number, const char* one, const char* many) {
  return std::to_string(number) + " " + (number == 1 ? one : many);
}

}  // namespace sixtyfold
