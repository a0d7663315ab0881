#pragma once
// What a shell offers while somebody types a command, made from the option tables themselves.

#include <string>

namespace CLI {
class App;
}

namespace sixtyfold {

/// A script for bash (and for zsh by its bashcompinit): commands, the options of each, the words an
/// option allows, also behind commas and an equals sign, files and folders. It needs nothing but
/// bash 4. `program` is asked for its words (find_offered_values) and must not be run.
std::string make_bash_completion(CLI::App& program);

/// The same for fish, each with its description.
std::string make_fish_completion(CLI::App& program);

}  // namespace sixtyfold
