#pragma once
// Files are read whole with a bound, and written beside their place and then renamed.

#include <cstddef>
#include <filesystem>
#include <string>

namespace sixtyfold {

/// Largest input file that is read.
inline constexpr std::size_t largest_input_bytes = std::size_t{16} << 20;

/// The file's bytes. Throws std::invalid_argument: missing, not a file, or larger than allowed.
std::string read_file(const std::filesystem::path& path,
                      std::size_t largest_bytes = largest_input_bytes);

/// Makes a folder, and those above it, where there is none. Throws std::invalid_argument when a
/// file has that name, std::runtime_error with the path and the system's reason when it can not be
/// made.
void make_folder(const std::filesystem::path& path);

/// Writes `path` whole or not at all: to a temporary file beside it, then renamed over it.
/// Throws std::runtime_error with the path and the system's reason.
void write_file(const std::filesystem::path& path, const std::string& bytes);

}  // namespace sixtyfold
