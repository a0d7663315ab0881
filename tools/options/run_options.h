#pragma once
// The options of every command that works for a while: seed, budget, time, threads, output and
// progress have the same words and the same meaning everywhere.

#include <cstdint>
#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace sixtyfold {

/// Where what is typed goes; all must outlive the command.
struct RunFields {
  std::uint64_t& seed;
  std::uint64_t& budget;  ///< 0: none given
  double& time_limit_s;   ///< 0: none given
  int& threads;
  std::string& out;
  bool& quiet;
};

/// What the help says where commands differ.
struct RunWords {
  std::string budget, time, out;
};

/// Adds --seed, --budget, --time, --threads, --out and --quiet, and returns them.
std::vector<CLI::Option*> add_run_options(CLI::App& command, RunFields fields,
                                          const RunWords& words);

}  // namespace sixtyfold
