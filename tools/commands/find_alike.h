#pragma once
// `find --like`: designs like given ones.

#include <string>
#include <vector>

#include "search/alike/alike.h"
#include "search/run/run_plan.h"
#include "tools/commands/command.h"
#include "tools/options/limit_options.h"

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace sixtyfold {

/// What was typed.
struct LikeChoice {
  std::vector<std::string> like, unlike;  ///< design files
  std::string picks;                      ///< a file of picks
  AlikeOptions options;

  bool is_asked_for() const { return !like.empty() || !picks.empty(); }
};

/// Adds --like, --unlike, --picks and --near, and returns them.
std::vector<CLI::Option*> add_like_options(CLI::App& command, LikeChoice& choice);

/// Searches from the designs under the plan's limits and goals, and writes a run's folder.
/// plan.count is how many are wanted like each. Throws std::invalid_argument: files that are no
/// designs, or that no recipe tells how to make.
ExitStatus carry_out_like(RunPlan plan, const LikeChoice& choice, const LimitChanges& changes,
                          const std::string& folder, const std::string& command, int threads,
                          bool quiet);

}  // namespace sixtyfold
