#include "tools/workshop/child.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <stdexcept>

#include "results/files/file.h"

namespace sixtyfold {

namespace {

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr rlim_t most_memory = RLIM_INFINITY;  // they map terabytes
#else
constexpr rlim_t most_memory = rlim_t{4} << 30;
#endif

/// Between fork and exec: only what may be called there while other threads hold locks (POSIX.1,
/// signal-safety).
[[noreturn]] void become(char* const* argv, const char* folder, int told, pid_t parent) {
  ::prctl(PR_SET_PDEATHSIG, SIGHUP);
  if (::getppid() != parent) ::_exit(4);  // gone before it could be asked to tell
  ::setpgid(0, 0);                        // Ctrl-C in the terminal is the workshop's to answer
  const rlimit memory{most_memory, most_memory};
  ::setrlimit(RLIMIT_AS, &memory);
  const rlimit none{0, 0};
  ::setrlimit(RLIMIT_CORE, &none);
  struct sigaction usual {};
  usual.sa_handler = SIG_DFL;
  ::sigaction(SIGINT, &usual, nullptr);
  ::sigaction(SIGTERM, &usual, nullptr);
  ::sigaction(SIGHUP, &usual, nullptr);  // were it ignored, a search would outlive its server
  usual.sa_handler = SIG_IGN;            // asked for a list before it can make one
  ::sigaction(SIGUSR1, &usual, nullptr);
  sigset_t all;
  sigemptyset(&all);
  ::sigprocmask(SIG_SETMASK, &all, nullptr);
  const int nothing = ::open("/dev/null", O_RDONLY);
  if (::chdir(folder) != 0 || nothing < 0 || ::dup2(nothing, 0) < 0 || ::dup2(told, 1) < 0 ||
      ::dup2(told, 2) < 0)
    ::_exit(4);
  ::close_range(3, ~0U, 0);  // nothing of the server's goes along
  ::execv("/proc/self/exe", argv);
  ::_exit(4);
}

}  // namespace

Child::Child(const std::vector<std::string>& arguments, const std::filesystem::path& folder,
             const std::filesystem::path& told) {
  std::vector<std::string> words = {"sixtyfold"};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  const int file =
      ::open(told.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, 0644);
  if (file < 0) throw std::runtime_error(told.string() + ": " + describe_error(errno));
  const pid_t parent = ::getpid();
  process_ = ::fork();
  if (process_ == 0) become(argv.data(), folder.c_str(), file, parent);
  const int fault = errno;
  ::close(file);
  if (process_ < 0) throw std::runtime_error("no process can be started: " + describe_error(fault));
}

Child::~Child() {
  kill();
  while (process_ > 0 && !status_) {
    int status = 0;
    if (::waitpid(process_, &status, 0) >= 0 || errno != EINTR) break;
  }
}

std::optional<int> Child::find_end() {
  if (status_) return status_;
  int status = 0;
  if (::waitpid(process_, &status, WNOHANG) != process_) return std::nullopt;
  status_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return status_;
}

void Child::stop() {
  if (!find_end()) ::kill(process_, SIGINT);
}

void Child::ask() {
  if (!find_end()) ::kill(process_, SIGUSR1);
}

void Child::kill() {
  if (process_ > 0 && !find_end()) ::kill(process_, SIGKILL);
}

}  // namespace sixtyfold
