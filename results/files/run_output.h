#pragma once
// Everything a run leaves in its folder, in one call.

#include <filesystem>
#include <string>
#include <vector>

#include "results/files/run_folder.h"
#include "search/choose/choice.h"
#include "search/run/run_plan.h"

namespace sixtyfold {

struct RunOutput {
  const RunPlan& plan;
  const SearchTask& task;
  const std::vector<Pool>& pools;
  Choice& choice;  ///< its designs are given their names
  RunRecord record;
  Evaluator& evaluator;  ///< for the drawings
};

/// Writes NNN.json and NNN.svg of each candidate, search.json (what was asked, how the run went and
/// which limits ruled out how much), curves.svg, kept.jsonl (every design the run keeps, with what
/// rebuilds it), finds.state (the same and all counts, for `sixtyfold merge`),
/// run.json and, when all else is there, ranking.json. Candidates of an earlier, unfinished writing
/// are removed. All but run.json are the same bytes for the same plan and budget.
void write_run_output(const std::filesystem::path& folder, RunOutput output);

/// The same for the same plan: "run-" and 16 hexadecimal digits.
std::string find_run_identity(const RunPlan& plan);

/// Whether a run writes a file of this name into its folder.
bool is_run_file(const std::string& name);

/// search.json.
std::string write_search_json(const RunOutput& output);

}  // namespace sixtyfold
