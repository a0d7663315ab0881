// The front door: one subcommand a file, see tools/commands/command.h.
#include "tools/commands/command.h"

int main(int argc, char** argv) { return sixtyfold::run_program_line(argc, argv); }
