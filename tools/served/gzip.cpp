#include "tools/served/gzip.h"

#include <zlib.h>

#include <stdexcept>

namespace sixtyfold {

std::string make_gzip(const std::string& bytes) {
  constexpr int window_bits = 15, as_gzip = 16, memory_level = 8;
  z_stream stream{};
  if (deflateInit2(&stream, Z_DEFAULT_COMPRESSION, Z_DEFLATED, window_bits + as_gzip, memory_level,
                   Z_DEFAULT_STRATEGY) != Z_OK)
    throw std::runtime_error("there is not enough memory");
  std::string packed(deflateBound(&stream, bytes.size()), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(packed.data());
  stream.avail_out = static_cast<uInt>(packed.size());
  const int ended = deflate(&stream, Z_FINISH);
  packed.resize(stream.total_out);
  deflateEnd(&stream);
  if (ended != Z_STREAM_END) throw std::runtime_error("bytes can not be packed");
  return packed;
}

}  // namespace sixtyfold
