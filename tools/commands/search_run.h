#pragma once
// What the commands that search have in common: stopping politely, checkpoints, the folder.

#include <filesystem>
#include <functional>
#include <string>

#include "results/files/so_far.h"
#include "results/reports/progress.h"
#include "search/choose/choice.h"
#include "search/run/evaluator.h"
#include "search/run/run.h"
#include "tools/commands/command.h"

namespace sixtyfold {

struct SearchRunOptions {
  std::string folder;
  std::string command;       ///< as typed, for run.json
  int threads = 0;           ///< 0: as many as the machine has
  double checkpoint_s = 20;  ///< between checkpoints; 0: none but at Ctrl-C
  bool quiet = false;
  bool stats = false;  ///< tells speed, stages and memory at the end
  bool live = false;   ///< the list so far lies in the folder while it goes on
};

/// Goes on with the run whose checkpoint lies in the folder, if `resume`, else begins it; writes
/// everything into the folder and tells where it is. Ctrl-C and SIGTERM end it politely: what was
/// found is written, and the checkpoint stays.
ExitStatus carry_out_run(const RunPlan& plan, bool resume, const SearchRunOptions& options);

/// How far a run is of its time and its budget.
SoFarState tell_state(const Run& run, const RunPlan& plan, const RunContext& context);

/// Runs until it is done or Ctrl-C or SIGTERM asks it to end politely; shows the progress unless
/// `quiet`. `between` is called between rounds. With `so_far` lists are written as they are made,
/// and one more when SIGUSR1 asks for it.
EndReason watch_run(Run& run, const RunPlan& plan, Evaluator& evaluator, RunContext& context,
                    bool quiet, const std::function<void()>& between, SoFar* so_far = nullptr);

/// Local time, ISO 8601, for run.json.
std::string tell_time();

/// Ranks the finds of several folders together. Byte for byte what one run with all streams gives
/// when the folders are its shards.
ExitStatus merge_runs(const std::vector<std::string>& folders, const SearchRunOptions& options);

/// The folder as given, which must not exist or be empty; or, when none is given, the first of
/// find-001, find-002 ... that does not exist. Throws std::invalid_argument.
std::string choose_folder(const std::string& given);

/// The list as it is told when it is made: a line each, and where it lies.
void print_ranking(const std::string& folder, const Limits& limits, const Choice& choice,
                   bool is_partial);

/// "Board 600 x 1200 mm, 4 mm thick; at most 2.00 m across": what a search took, typed or not.
std::string tell_board(const Limits& limits);

}  // namespace sixtyfold
