#include "results/files/file.h"

#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <stdexcept>

namespace sixtyfold {

std::string read_file(const std::filesystem::path& path, std::size_t largest_bytes) {
  std::error_code error;
  if (!std::filesystem::exists(path, error))
    throw std::invalid_argument(path.string() + ": there is no such file");
  if (!std::filesystem::is_regular_file(path, error))
    throw std::invalid_argument(path.string() + ": is not a regular file");
  const auto size = std::filesystem::file_size(path, error);
  if (error) throw std::invalid_argument(path.string() + ": " + error.message());
  if (size > largest_bytes)
    throw std::invalid_argument(path.string() + ": has " + std::to_string(size) +
                                " bytes; at most " + std::to_string(largest_bytes) +
                                " are allowed");
  std::ifstream stream(path, std::ios::binary);
  if (!stream) throw std::invalid_argument(path.string() + ": " + std::strerror(errno));
  std::string bytes(static_cast<std::size_t>(size), '\0');
  stream.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(stream.gcount()));
  return bytes;
}

void make_folder(const std::filesystem::path& path) {
  std::error_code error;
  if (std::filesystem::exists(path, error) && !std::filesystem::is_directory(path, error))
    throw std::invalid_argument(path.string() + ": is a file; a folder is needed");
  std::filesystem::create_directories(path, error);
  if (error) throw std::runtime_error(path.string() + ": can not be made: " + error.message());
}

void write_file(const std::filesystem::path& path, const std::string& bytes) {
  std::filesystem::path beside = path;
  beside += "." + std::to_string(::getpid()) + ".tmp";
  {
    std::ofstream stream(beside, std::ios::binary | std::ios::trunc);
    if (stream) stream.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    if (stream) stream.flush();
    if (!stream) {
      const std::string reason = std::strerror(errno);
      std::error_code ignored;
      std::filesystem::remove(beside, ignored);
      throw std::runtime_error(path.string() + ": can not be written: " + reason);
    }
  }
  std::error_code error;
  std::filesystem::rename(beside, path, error);
  if (error) {
    std::error_code ignored;
    std::filesystem::remove(beside, ignored);
    throw std::runtime_error(path.string() + ": can not be written: " + error.message());
  }
}

}  // namespace sixtyfold
