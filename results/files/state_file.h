#pragma once
// Where a run stands, in one file: a line with the checksum of the rest, a line of JSON that says
// what was asked for, then the state. Written whole or not at all and on the disk before it
// replaces the one before, so that neither a killed run nor a power cut loses both.

#include <cstdint>
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

/// Throws std::invalid_argument: no such file, not such a file, another version, damaged, or
/// options that make no sense.
StateFile read_state_file(const std::filesystem::path& folder, StateKind kind);

}  // namespace sixtyfold
