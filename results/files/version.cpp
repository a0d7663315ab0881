#include "results/files/version.h"

namespace sixtyfold {

std::string program_version() { return SIXTYFOLD_VERSION; }

}  // namespace sixtyfold
