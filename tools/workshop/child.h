#pragma once
// One command of this program, run as a process of its own.

#include <sys/types.h>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace sixtyfold {

/// Promises: the program is this one (/proc/self/exe), its arguments go to it one by one and
/// through no shell; it works in `folder`, reads nothing, and what it says goes to the file `told`;
/// it has 4 GB of memory at most; it is asked to stop (SIGHUP) when the thread that started it is
/// gone, however that came. The destructor ends it at once.
class Child {
 public:
  /// Throws std::runtime_error with the system's reason.
  Child(const std::vector<std::string>& arguments, const std::filesystem::path& folder,
        const std::filesystem::path& told);
  ~Child();
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  /// Its exit status, or 128 + signal, once it has ended.
  std::optional<int> find_end();
  /// Asks it to end politely and to write what it has; a second time ends it.
  void stop();
  /// Asks a search for a list now.
  void ask();
  /// Ends it at once.
  void kill();

 private:
  pid_t process_ = -1;
  std::optional<int> status_;
};

}  // namespace sixtyfold
