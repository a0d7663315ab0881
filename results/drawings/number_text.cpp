#include "results/drawings/number_text.h"

#include <cassert>
#include <cmath>
#include <cstdio>

namespace sixtyfold {

std::string write_number(double value, int most_decimals) {
  assert(std::isfinite(value) && 0 <= most_decimals && most_decimals <= 17);
  char text[340];  // the largest double has 309 digits before the point
  int length = std::snprintf(text, sizeof text, "%.*f", most_decimals, value);
  if (most_decimals > 0) {
    while (text[length - 1] == '0') --length;
    if (text[length - 1] == '.') --length;
  }
  const std::string trimmed(text, static_cast<std::size_t>(length));
  return trimmed == "-0" ? "0" : trimmed;
}

}  // namespace sixtyfold
