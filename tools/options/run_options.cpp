#include "tools/options/run_options.h"

#include "tools/options/arguments.h"
#include "tools/options/options.h"

namespace sixtyfold {

std::vector<CLI::Option*> add_run_options(CLI::App& command, RunFields fields,
                                          const RunWords& words) {
  std::vector<CLI::Option*> added;
  added.push_back(add_parsed_option(
      command, "--seed", "NUMBER",
      [&seed = fields.seed](const std::string& text) { seed = parse_whole(text); },
      "another seed, another search; default 1"));
  added.push_back(add_parsed_option(
      command, "--budget", "NUMBER",
      [&budget = fields.budget](const std::string& text) { budget = parse_whole(text); },
      words.budget));
  added.push_back(add_parsed_option(
      command, "--time", "TIME",
      [&time = fields.time_limit_s](const std::string& text) { time = parse_seconds(text); },
      words.time));
  added.push_back(add_threads_option(command, fields.threads));
  added.push_back(command.add_option("--out", fields.out, words.out)->type_name("FOLDER"));
  added.push_back(command.add_flag("--quiet", fields.quiet, "no progress"));
  return added;
}

}  // namespace sixtyfold
