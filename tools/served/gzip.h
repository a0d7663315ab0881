#pragma once
// Bytes made fewer for slow networks (zlib).

#include <string>

namespace sixtyfold {

/// In the gzip format (RFC 1952), without a time: the same bytes give the same.
std::string make_gzip(const std::string& bytes);

}  // namespace sixtyfold
