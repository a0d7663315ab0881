#pragma once
// Opening a page in whatever browser this desktop has.

#include <string>

namespace sixtyfold {

/// Asks the desktop (xdg-open) to open the address and waits for nothing. False where there is no
/// screen or no such program.
bool open_browser(const std::string& address);

}  // namespace sixtyfold
