#pragma once
// Options whose text is turned into a value by a function of tools/options/arguments.h.

#include <CLI/CLI.hpp>
#include <stdexcept>
#include <string>

namespace sixtyfold {

/// Adds an option such as "--sheet"; `take` receives the text typed. A fault it throws is given
/// the option's name: `--sheet is "6oo"; allowed is ...`. `shape` is the word shown in the help.
template <class Take>
CLI::Option* add_parsed_option(CLI::App& command, const std::string& name, const std::string& shape,
                               Take take, const std::string& help) {
  const std::string shown = name.substr(0, name.find(','));
  return command
      .add_option_function<std::string>(
          name,
          [take, shown](const std::string& text) {
            try {
              take(text);
            } catch (const std::invalid_argument& fault) {
              throw std::invalid_argument(shown + " " + fault.what());
            }
          },
          help)
      ->type_name(shape);
}

}  // namespace sixtyfold
