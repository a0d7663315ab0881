#include "engine/text.h"

#include <cstdarg>
#include <cstdio>

namespace sixtyfold {

std::string format(const char* pattern, ...) {
  char text[1000];
  va_list values;
  va_start(values, pattern);
  std::vsnprintf(text, sizeof text, pattern, values);
  va_end(values);
  return text;
}

std::string count_of(int number, const char* one, const char* many) {
  return std::to_string(number) + " " + (number == 1 ? one : many);
}

}  // namespace sixtyfold
