#pragma once
// The man page, made from the option tables themselves: what --help tells of every command.

#include <string>

namespace CLI {
class App;
}

namespace sixtyfold {

/// A page of section 1 for man(7) macros: every command with its options by group, what excludes
/// what, and its examples. `version` as `sixtyfold --version` prints it.
std::string make_man_page(const CLI::App& program, const std::string& version);

}  // namespace sixtyfold
