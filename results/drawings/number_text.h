#pragma once
// Numbers of drawings and reports, as short as they can be written.

#include <string>

namespace sixtyfold {

/// At most so many decimals, no trailing zeros, never "-0". The value must be finite.
std::string write_number(double value, int most_decimals = 2);

}  // namespace sixtyfold
