// The front door: one subcommand a file, see tools/*.cpp.
#include <CLI/CLI.hpp>

int main(int argc, char** argv) {
  CLI::App app{"sixtyfold: find, compare and build constructions from many identical flat panels"};
  CLI11_PARSE(app, argc, argv);
  return 0;
}
