#pragma once
// What a person asked for, as a plain value that can be stored beside the results.

#include <cstdint>
#include <string>
#include <vector>

#include "search/space/task.h"

namespace sixtyfold {

/// Groups that most people want to see first.
std::vector<std::string> default_symmetries();
/// The polyhedral ones of these and rotation groups: Cn, Dn to n = 12.
std::vector<std::string> all_symmetries();

struct RunPlan {
  BranchChoice choice{default_symmetries(), {}, {}};
  Limits limits;
  std::string material;  ///< name of the board, for the designs; may be empty
  Goals goals;
  std::uint64_t seed = 1;
  int count = 12;
  std::string colours = "board";  ///< of the drawings, see engine/building/colourings.h
  std::uint64_t budget = 0;       ///< variants in all streams together; 0: no bound
  double time_limit_s = 0;        ///< 0: no bound
  int streams = 1;                ///< independent searches whose finds are ranked together
  int shard = 0;                  ///< 1 to streams: only this one; 0: all

  /// Empty when it makes sense, else one sentence.
  std::string find_fault() const;
};

/// Throws std::invalid_argument when the plan has a fault or leaves no branch.
SearchTask make_task(const RunPlan& plan);

/// One sentence: the groups that are not searched because panels joined by slots alone do not go
/// together there, why, and what helps; else empty.
std::string explain_left_out(const RunPlan& plan);

}  // namespace sixtyfold
