#include "tools/voting/qr_code.h"

#include <qrencode.h>

#include <memory>
#include <stdexcept>

namespace sixtyfold {

SquareCode make_qr_code(const std::string& text) {
  const std::unique_ptr<QRcode, void (*)(QRcode*)> code(
      QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), QRcode_free);
  if (!code) throw std::runtime_error("a square code can not hold " + text);
  SquareCode square{code->width, {}};
  const int all = code->width * code->width;
  for (int i = 0; i < all; ++i) square.dark.push_back(static_cast<char>(code->data[i] & 1));
  return square;
}

}  // namespace sixtyfold
