#pragma once
// The options of every command that searches: the same words and the same meaning everywhere.

#include <vector>

#include "search/run/run_plan.h"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace sixtyfold {

inline constexpr double default_search_time_s = 20;  ///< when no budget and no time is given

/// Adds --group, --family, --plane, --count, --seed, --budget, --time, --taste and --threads, and
/// returns them. `plan` and `threads` must outlive the command.
std::vector<CLI::Option*> add_search_options(CLI::App& command, RunPlan& plan, int& threads,
                                             int least_count, int most_count);

}  // namespace sixtyfold
