#pragma once
// --colours: how panels are coloured, the same words in every command.

#include <string>

namespace CLI {
class App;
}

namespace sixtyfold {

/// Which words are understood: those that every design understands, or one design's own, too.
enum class ColourWords { every_design, one_design };

/// Adds --colours; `word` keeps its value unless one is typed. What is typed is checked.
void add_colours_option(CLI::App& command, std::string& word, ColourWords words);

}  // namespace sixtyfold
