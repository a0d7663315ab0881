#include "results/files/file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <stdexcept>

namespace sixtyfold {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse_writing(const fs::path& path, int error_number) {
  throw std::runtime_error(path.string() + ": can not be written: " + describe_error(error_number));
}

/// Closes what it holds.
struct Descriptor {
  int number;
  explicit Descriptor(int given) : number(given) {}
  ~Descriptor() {
    if (number >= 0) ::close(number);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
};

/// 0, or the number of the error.
int write_all(int descriptor, const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::write(descriptor, bytes.data() + done, bytes.size() - done);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return count < 0 ? errno : ENOSPC;
    done += static_cast<std::size_t>(count);
  }
  return 0;
}

fs::path folder_of(const fs::path& path) {
  return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

void sync_entries(const fs::path& folder) {
  const Descriptor opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (opened.number >= 0) ::fsync(opened.number);  // not every file system can
}

}  // namespace

std::string describe_error(int error_number) {
  if (error_number == EACCES || error_number == EPERM)
    return "the right to do so is missing (permission denied)";
  if (error_number == ENOSPC || error_number == EDQUOT) return "the disk is full";
  if (error_number == EFBIG) return "the file would be larger than the system allows";
  if (error_number == EROFS) return "the disk can only be read";
  if (error_number == ENAMETOOLONG) return "the name is too long";
  std::string text = std::strerror(error_number);
  if (!text.empty() && 'A' <= text[0] && text[0] <= 'Z')
    text[0] = static_cast<char>(text[0] - 'A' + 'a');
  return text;
}

std::string read_file(const fs::path& path, std::size_t largest_bytes) {
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found)
    throw std::invalid_argument(path.string() + ": there is no such file");
  const auto refuse = [&](int number) {
    throw std::runtime_error(path.string() + ": can not be read: " + describe_error(number));
  };
  if (status.type() == fs::file_type::none) refuse(error.value());
  if (status.type() != fs::file_type::regular)
    throw std::invalid_argument(path.string() + ": is not a regular file");
  const auto size = fs::file_size(path, error);
  if (error) refuse(error.value());
  if (size > largest_bytes)
    throw std::invalid_argument(path.string() + ": has " + std::to_string(size) +
                                " bytes; at most " + std::to_string(largest_bytes) +
                                " are allowed");
  const Descriptor opened(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (opened.number < 0) refuse(errno);
  std::string bytes(static_cast<std::size_t>(size), '\0');
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t count = ::read(opened.number, bytes.data() + done, bytes.size() - done);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) refuse(errno);
    if (count == 0) break;
    done += static_cast<std::size_t>(count);
  }
  bytes.resize(done);
  return bytes;
}

void make_folder(const fs::path& path) {
  std::error_code error;
  if (fs::exists(path, error) && !fs::is_directory(path, error))
    throw std::invalid_argument(path.string() + ": is a file; a folder is needed");
  fs::create_directories(path, error);
  if (error)
    throw std::runtime_error(path.string() + ": can not be made: " + describe_error(error.value()));
}

void check_output_file(const fs::path& path) {
  std::error_code error;
  const fs::file_type type = fs::symlink_status(path, error).type();
  const char* const what = type == fs::file_type::directory   ? "a folder"
                           : type == fs::file_type::symlink   ? "a link"
                           : type == fs::file_type::fifo      ? "a pipe"
                           : type == fs::file_type::socket    ? "a socket"
                           : type == fs::file_type::block     ? "a device"
                           : type == fs::file_type::character ? "a device"
                                                              : nullptr;
  if (what)
    throw std::invalid_argument(path.string() + ": is " + what +
                                "; a new name or that of a plain file is needed");
  if (!fs::is_directory(folder_of(path), error))
    throw std::invalid_argument(path.string() + ": there is no folder " + folder_of(path).string());
}

void write_file(const fs::path& path, const std::string& bytes, Keep keep) {
  check_output_file(path);
  fs::path beside = path;
  beside += "." + std::to_string(::getpid()) + ".tmp";
  int fault = 0;
  {
    const Descriptor opened(
        ::open(beside.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0666));
    if (opened.number < 0) refuse_writing(path, errno);
    fault = write_all(opened.number, bytes);
    if (fault == 0 && keep == Keep::on_the_disk && ::fsync(opened.number) != 0) fault = errno;
  }
  if (fault == 0 && ::rename(beside.c_str(), path.c_str()) != 0) fault = errno;
  if (fault != 0) {
    ::unlink(beside.c_str());
    refuse_writing(path, fault);
  }
  if (keep == Keep::on_the_disk) sync_entries(folder_of(path));
}

bool is_leftover_of(const std::string& file_name, const std::string& name) {
  constexpr std::size_t end = 4;  // ".tmp"
  if (!file_name.starts_with(name + ".") || !file_name.ends_with(".tmp")) return false;
  const std::size_t begin = name.size() + 1;
  if (file_name.size() <= begin + end) return false;
  return std::all_of(file_name.begin() + static_cast<std::ptrdiff_t>(begin),
                     file_name.end() - static_cast<std::ptrdiff_t>(end),
                     [](char c) { return '0' <= c && c <= '9'; });
}

void check_new_folder(const fs::path& folder) {
  std::error_code error;
  if (folder.empty()) throw std::invalid_argument("the name of a folder is empty");
  if (!fs::exists(folder, error)) return;
  if (!fs::is_directory(folder, error))
    throw std::invalid_argument(folder.string() + ": is a file; a folder is needed");
  if (!fs::is_empty(folder, error))
    throw std::invalid_argument(folder.string() +
                                ": holds files already; choose a folder that is new or empty");
}

void write_folder(const fs::path& folder, const std::vector<NamedBytes>& files) {
  check_new_folder(folder);
  std::error_code error;
  const bool is_there = fs::exists(folder, error);
  fs::path plain = folder.lexically_normal();
  if (!plain.has_filename()) plain = plain.parent_path();  // "kit/"
  if (is_there && fs::is_symlink(plain, error)) plain = fs::canonical(plain, error);
  if (plain.filename() == "." || plain.filename() == ".." || plain.empty())
    plain = fs::absolute(plain, error).lexically_normal().parent_path();
  // Files lie beside the folder until the last one is whole.
  fs::path beside = plain;
  beside += "." + std::to_string(::getpid()) + ".tmp";
  try {
    make_folder(beside);
    for (const NamedBytes& file : files) write_file(beside / file.name, file.bytes);
    if (::rename(beside.c_str(), plain.c_str()) != 0) refuse_writing(folder, errno);
  } catch (const std::runtime_error& fault) {  // who asked for the folder knows of no other
    fs::remove_all(beside, error);
    std::string said = fault.what();
    if (said.starts_with(beside.string())) said.replace(0, beside.string().size(), plain.string());
    throw std::runtime_error(said);
  } catch (...) {
    fs::remove_all(beside, error);
    throw;
  }
}

void sync_folder(const fs::path& folder) {
  const Descriptor opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
  if (opened.number >= 0) ::syncfs(opened.number);
}

FolderLock::FolderLock(const fs::path& folder)
    : descriptor_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
  if (descriptor_ < 0)
    throw std::runtime_error(folder.string() + ": can not be opened: " + describe_error(errno));
  if (::flock(descriptor_, LOCK_EX | LOCK_NB) == 0) return;
  const int fault = errno;
  ::close(descriptor_);
  descriptor_ = -1;
  if (fault == EWOULDBLOCK)
    throw std::invalid_argument(folder.string() +
                                ": another run is at work in this folder; wait for it, or give "
                                "another folder");
  // A file system without locks: nothing can be told.
}

FolderLock::~FolderLock() {
  if (descriptor_ >= 0) ::close(descriptor_);
}

}  // namespace sixtyfold
