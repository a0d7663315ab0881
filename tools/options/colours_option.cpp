#include "tools/options/colours_option.h"

#include "engine/building/colourings.h"
#include "tools/options/options.h"

namespace sixtyfold {

void add_colours_option(CLI::App& command, std::string& word, ColourWords words) {
  const bool is_one = words == ColourWords::one_design;
  add_parsed_option(
      command, "--colours", "WORD",
      [&word, is_one](const std::string& text) {
        check_colours_word(text);
        if (!is_one && text.find_first_of("0123456789") != std::string::npos)
          throw std::invalid_argument("is \"" + text +
                                      "\"; allowed is board, modules, planes or neighbours");
        word = text;
      },
      "of the panels: board (bare), modules (what is joined first is of one colour), planes (one a "
      "family of parallel panels), neighbours (those joined differ)" +
          std::string(is_one ? ", a number of colours, or a colouring's name such as 6-D5" : "") +
          "; default " + word);
}

}  // namespace sixtyfold
