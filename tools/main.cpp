// The front door: one subcommand a file, see tools/command.h.
#include "tools/command.h"

int main(int argc, char** argv) { return sixtyfold::run_program_line(argc, argv); }
