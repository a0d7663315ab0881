// The only file that knows where this build lies, so that all others compile alike anywhere.
#include "tests/support/run_program.h"

namespace sixtyfold {

std::string source_folder() { return SIXTYFOLD_SOURCE_DIR; }
std::string program_path() { return SIXTYFOLD_PROGRAM; }

}  // namespace sixtyfold
