#pragma once
// Runs a program as a person would and keeps what it said.

#include <filesystem>
#include <string>
#include <vector>

namespace sixtyfold {

/// The top of the source tree, and the sixtyfold program of this build.
std::string source_folder();
std::string program_path();

struct ProgramResult {
  int status = 0;  ///< exit status, or 128 + signal
  std::string out, err;
};

/// argv[0] is looked up in PATH. Standard input is empty. `folder` is the working directory.
ProgramResult run_program(const std::vector<std::string>& argv,
                          const std::filesystem::path& folder = ".");

/// A program that serves until Ctrl-C: it gets that once its output holds these words.
ProgramResult run_until_said(const std::string& words, const std::vector<std::string>& argv,
                             const std::filesystem::path& folder = ".");

/// The sixtyfold program of this build.
ProgramResult run_sixtyfold(std::vector<std::string> arguments,
                            const std::filesystem::path& folder = ".");

/// A new empty folder, removed with everything in it when the value goes.
class ScratchFolder {
 public:
  ScratchFolder();
  ~ScratchFolder();
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

}  // namespace sixtyfold
