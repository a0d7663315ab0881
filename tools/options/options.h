#pragma once
// Options whose text is turned into a value by a function of tools/options/arguments.h.

#include <CLI/CLI.hpp>
#include <stdexcept>
#include <string>

#include "engine/allowed.h"

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

/// A whole number, digits only.
CLI::Option* add_count_option(CLI::App& command, const std::string& name, int& value, int low,
                              int high, const std::string& help);
/// --threads, 0 for as many as the machine has.
CLI::Option* add_threads_option(CLI::App& command, int& threads);
/// A plain number, and a length, as far as they are allowed.
CLI::Option* add_number_option(CLI::App& command, const std::string& name, double& value,
                               const Allowed& range, const std::string& help);
CLI::Option* add_length_option(CLI::App& command, const std::string& name, double& value_mm,
                               const Allowed& range, const std::string& help);

}  // namespace sixtyfold
