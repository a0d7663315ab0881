#include "tests/support/run_program.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <thread>

namespace sixtyfold {

namespace {

std::string read_all(const std::filesystem::path& path) {
  std::ifstream stream(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

void redirect(const char* path, int flags, int descriptor) {
  const int opened = ::open(path, flags, 0600);
  if (opened < 0 || ::dup2(opened, descriptor) < 0) ::_exit(126);
}

pid_t start_program(const std::vector<std::string>& argv, const std::filesystem::path& folder,
                    const std::filesystem::path& out, const std::filesystem::path& err) {
  std::vector<char*> pointers;
  for (const std::string& argument : argv) pointers.push_back(const_cast<char*>(argument.c_str()));
  pointers.push_back(nullptr);
  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("fork failed");
  if (child == 0) {
    redirect("/dev/null", O_RDONLY, 0);
    redirect(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 1);
    redirect(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 2);
    if (::chdir(folder.c_str()) != 0) ::_exit(126);
    ::execvp(pointers[0], pointers.data());
    ::_exit(127);
  }
  return child;
}

}  // namespace

ScratchFolder::ScratchFolder() {
  std::string name = (std::filesystem::temp_directory_path() / "sixtyfold_test_XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no scratch folder: " + name);
  path_ = name;
}

ScratchFolder::~ScratchFolder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

ProgramResult run_program(const std::vector<std::string>& argv,
                          const std::filesystem::path& folder) {
  return run_until_said("", argv, folder);
}

ProgramResult run_until_said(const std::string& words, const std::vector<std::string>& argv,
                             const std::filesystem::path& folder) {
  const ScratchFolder scratch;
  const auto out = scratch.path() / "out", err = scratch.path() / "err";
  const pid_t child = start_program(argv, folder, out, err);
  int state = 0;
  bool told = words.empty();
  while (::waitpid(child, &state, told ? 0 : WNOHANG) == 0) {
    told = read_all(out).find(words) != std::string::npos;
    if (told)
      ::kill(child, SIGINT);
    else
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  const int status = WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
  return {status, read_all(out), read_all(err)};
}

ProgramResult run_sixtyfold(std::vector<std::string> arguments,
                            const std::filesystem::path& folder) {
  arguments.insert(arguments.begin(), program_path());
  return run_program(arguments, folder);
}

}  // namespace sixtyfold
