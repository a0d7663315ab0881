#pragma once
// kept.jsonl in a run's folder: everything the run keeps, one design a line, for programs that
// want to see more than the ranking.

#include <map>
#include <string>
#include <vector>

#include "search/keep/pool.h"

namespace sixtyfold {

/// One design that a run keeps. Branch and parameters rebuild it (search/space/parameter_space.h)
/// with all its numbers; here is what the search keeps of them.
struct KeptDesign {
  std::string symmetry, plane, family;  ///< the branch
  std::vector<double> parameters;       ///< in their units, in the branch's order
  bool rigid = true;                    ///< else it keeps all other limits, but moves
  int panels = 0, joints = 0;
  double quality = 0, openness = 0, roundness = 0;
  std::map<std::string, double> pareto;  ///< values of the run's Pareto criteria, by their names

  bool operator==(const KeptDesign&) const = default;
};

/// { "symmetry": "I", "plane": "generic", "family": "radial", "parameters": [1.2, ...],
///   "rigid": true, "panels": 60, "joints": 90, "quality": 0.8, "openness": 0.3,
///   "roundness": 0.9, "pareto": { "joints": 90, "sheets": 12 } }
/// A line each: the elites by branch and cell, what else lies on the fronts, then what moves; each
/// once. `pareto` only where there are such criteria. `sixtyfold score` reads these lines and
/// answers with all numbers of each.
std::string write_kept_lines(const SearchTask& task, const std::vector<Pool>& pools);

/// Reads `most` lines at most. Throws std::invalid_argument with one sentence that names the line.
/// The branch's words are not looked up.
std::vector<KeptDesign> read_kept_lines(const std::string& bytes, const std::string& where,
                                        std::size_t most);

}  // namespace sixtyfold
