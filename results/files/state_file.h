#pragma once
// Where a run stands, in one file: a line of JSON that says what was asked for, then the state.
// Written whole or not at all, so that a killed run finds the one before.

#include <filesystem>
#include <string>

#include "search/run/run_plan.h"
#include "search/space/state.h"

namespace sixtyfold {

/// What such a file is for.
enum class StateKind {
  checkpoint,  ///< checkpoint.state: go on from here
  finds,       ///< finds.state: what the run found, for `sixtyfold merge`
};

struct StateFile {
  RunPlan plan;
  double elapsed_s = 0;
  State state;
};

/// "checkpoint.state" or "finds.state".
std::string state_file_name(StateKind kind);

/// Throws std::runtime_error when the system refuses.
void write_state_file(const std::filesystem::path& folder, StateKind kind, const RunPlan& plan,
                      double elapsed_s, const State& state);

/// Throws std::invalid_argument: no such file, not such a file, another version, damaged.
StateFile read_state_file(const std::filesystem::path& folder, StateKind kind);

}  // namespace sixtyfold
