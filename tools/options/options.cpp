#include "tools/options/options.h"

#include "engine/text.h"
#include "tools/options/arguments.h"

namespace sixtyfold {

CLI::Option* add_count_option(CLI::App& command, const std::string& name, int& value, int low,
                              int high, const std::string& help) {
  return add_parsed_option(
             command, name, format("%d..%d", low, high),
             [&value, low, high](const std::string& text) { value = parse_count(text, low, high); },
             help)
      ->default_str(std::to_string(value));
}

CLI::Option* add_threads_option(CLI::App& command, int& threads) {
  return add_parsed_option(
      command, "--threads", "COUNT",
      [&threads](const std::string& text) { threads = parse_count(text, 0, 1024); },
      "default: as many as the machine has");
}

CLI::Option* add_number_option(CLI::App& command, const std::string& name, double& value,
                               const Allowed& range, const std::string& help) {
  return add_parsed_option(
             command, name, "NUMBER",
             [&value, range](const std::string& text) {
               value = parse_number(text, {range.low, range.high});
             },
             help)
      ->default_str(format("%g", value));
}

CLI::Option* add_length_option(CLI::App& command, const std::string& name, double& value_mm,
                               const Allowed& range, const std::string& help) {
  return add_parsed_option(
      command, name, "LENGTH",
      [&value_mm, range](const std::string& text) { value_mm = parse_length_mm(text, range); },
      help);
}

}  // namespace sixtyfold
