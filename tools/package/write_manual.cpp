// Run by the build: writes man page and completions into a folder.
//   sixtyfold_manual FOLDER
#include <CLI/CLI.hpp>
#include <exception>
#include <iostream>

#include "results/files/file.h"
#include "results/files/version.h"
#include "tools/commands/command.h"
#include "tools/manual/completion.h"
#include "tools/manual/man_page.h"

int main(int argc, char** argv) {
  using namespace sixtyfold;
  if (argc != 2) {
    std::cerr << "sixtyfold_manual: one argument is wanted, the folder to write into\n";
    return 2;
  }
  try {
    const std::filesystem::path folder = argv[1];
    make_folder(folder);
    const auto program = make_program();
    write_file(folder / "sixtyfold.1", make_man_page(*program, program_version()));
    write_file(folder / "sixtyfold.bash", make_bash_completion(*program));
    write_file(folder / "sixtyfold.fish", make_fish_completion(*program));
  } catch (const std::exception& fault) {
    std::cerr << "sixtyfold_manual: " << fault.what() << "\n";
    return 4;
  }
  return 0;
}
