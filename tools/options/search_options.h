#pragma once
// The options of every command that searches: the same words and the same meaning everywhere.

#include <string>
#include <vector>

#include "search/run/run_plan.h"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace sixtyfold {

inline constexpr double default_search_time_s = 20;  ///< when no budget and no time is given

/// What a search is run with beside its plan.
struct SearchFields {
  int& threads;
  std::string& out;
  bool& quiet;
};

/// Adds --group, --family, --windows, --plane, --count, --taste and those of
/// tools/options/run_options.h, and returns them. `plan` and the fields must outlive the command.
std::vector<CLI::Option*> add_search_options(CLI::App& command, RunPlan& plan, SearchFields fields,
                                             int least_count, int most_count,
                                             const std::string& out_help);

}  // namespace sixtyfold
