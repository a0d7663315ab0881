#pragma once
// Files are read whole with a bound, and written beside their place and then renamed.

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

namespace sixtyfold {

/// Largest input file that is read.
inline constexpr std::size_t largest_input_bytes = std::size_t{16} << 20;

/// The file's bytes. Throws std::invalid_argument: missing, not a file, or larger than allowed;
/// std::runtime_error: no right to read it, or the system's reason.
std::string read_file(const std::filesystem::path& path,
                      std::size_t largest_bytes = largest_input_bytes);

/// Makes a folder, and those above it, where there is none. Throws std::invalid_argument when a
/// file has that name, std::runtime_error with the path and the system's reason when it can not be
/// made.
void make_folder(const std::filesystem::path& path);

/// Whether the bytes must be on the disk when the call returns, so that not even power loss takes
/// them.
enum class Keep { as_the_system_likes, on_the_disk };

/// Writes `path` whole or not at all: to a temporary file beside it, then renamed over it. What is
/// there and is no plain file (a link, a device, a pipe, a folder) is never replaced.
/// Throws std::invalid_argument for such a path, std::runtime_error with the path and the reason.
void write_file(const std::filesystem::path& path, const std::string& bytes,
                Keep keep = Keep::as_the_system_likes);

/// Throws as write_file would for what stands at `path` already, or where its folder is missing:
/// to be asked before long work.
void check_output_file(const std::filesystem::path& path);

/// The name of a temporary file that write_file may have left when it was killed.
bool is_leftover_of(const std::string& file_name, const std::string& name);

struct NamedBytes {
  std::string name;
  std::string bytes;
};

/// Throws std::invalid_argument unless the folder is empty or there is nothing of its name yet: to
/// be asked before long work.
void check_new_folder(const std::filesystem::path& folder);

/// Writes all files into a folder that is new or empty, or none of them.
/// Throws as make_folder and write_file; std::invalid_argument when the folder is not empty.
void write_folder(const std::filesystem::path& folder, const std::vector<NamedBytes>& files);

/// All that was written into the folder's file system so far is on the disk.
void sync_folder(const std::filesystem::path& folder);

/// While it lives, no other process of this program works in the folder.
class FolderLock {
 public:
  /// Throws std::invalid_argument when another one does, std::runtime_error when it can not tell.
  explicit FolderLock(const std::filesystem::path& folder);
  ~FolderLock();
  FolderLock(const FolderLock&) = delete;
  FolderLock& operator=(const FolderLock&) = delete;

 private:
  int descriptor_ = -1;
};

/// "permission denied: the right to do so is missing", or the system's words for another error.
std::string describe_error(int error_number);

}  // namespace sixtyfold
