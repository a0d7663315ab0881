#pragma once
// `find --like`: designs like given ones.

#include <string>
#include <vector>

#include "search/alike/alike.h"
#include "search/run/run_context.h"
#include "search/run/run_plan.h"
#include "tools/commands/command.h"
#include "tools/commands/search_run.h"
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

/// A search from given designs, before and after it was run.
struct LikeRun {
  RunPlan plan;
  SearchTask task;
  std::vector<Parent> parents;
  std::vector<Design> unlike;
  AlikeOptions options;
  // After the search:
  Relatives relatives;
  EndReason reason = EndReason::running;
  double seconds = 0;

  std::size_t wanted() const { return static_cast<std::size_t>(options.each) * parents.size(); }
  bool is_full() const { return relatives.found.size() == wanted(); }
  std::string tell_end() const;
};

/// Reads the designs and fits those that no recipe makes, which is told on standard output.
/// plan.count is how many are wanted like each. Throws std::invalid_argument: files that are no
/// designs, or that nothing a search can draw comes near to.
LikeRun prepare_like(RunPlan plan, const LikeChoice& choice, const LimitChanges& changes,
                     Evaluator& evaluator);

/// Under the plan's limits and goals, until all are found, the budget is spent, the time is up or
/// Ctrl-C asks it to end. `so_far` is told of what is new.
void search_like(LikeRun& run, Evaluator& evaluator, bool quiet, SoFar* so_far = nullptr);

/// One sentence on a search that found nothing.
std::string explain_nothing_like(const LikeRun& run);

/// `find --like`: searches and writes a run's folder.
ExitStatus carry_out_like(LikeRun run, const SearchRunOptions& options, Evaluator& evaluator);

}  // namespace sixtyfold
