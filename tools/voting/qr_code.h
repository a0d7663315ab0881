#pragma once
// Square codes by libqrencode.

#include <string>

#include "results/voting/square_code.h"

namespace sixtyfold {

/// The QR code (ISO/IEC 18004) of a text, at error correction level M: 15 of 100 code words may be
/// lost. Throws std::runtime_error when the text is too long.
SquareCode make_qr_code(const std::string& text);

}  // namespace sixtyfold
