#pragma once
// What the search is measured on: whole requests as people make them, and what a method is credited
// with for all that it saw.

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "search/keep/archive.h"
#include "search/keep/front.h"
#include "search/run/run_plan.h"

namespace sixtyfold::bench {

/// A request, and how its Pareto criteria are scaled: by their logarithm and clipped, so that no
/// single extreme decides.
struct Request {
  std::string name;
  RunPlan plan;
  struct Scale {
    double worst = 1, best = 10;
    bool logarithmic = true;
  };
  std::vector<Scale> scales;  ///< one for each Pareto criterion
};

/// "open": joints against stiffness, of designs that are open, from 24 panels on.
/// "large": diameter against sheets, at most 30 sheets.
/// "sixty": quality and variety, 60 panels.
/// "any": quality and variety, what `find` does when nothing is said.
std::vector<Request> make_requests();

/// The Pareto criteria of a feasible outcome on the request's scales, not clipped: 1 the worst, 0
/// the best.
Objectives to_scales(const Request& request, const SearchTask& task, const Outcome& outcome);

/// What one run of a method is credited with.
struct Record {
  std::map<int, std::vector<Objectives>> fronts;  ///< by number of panels; scaled, 0 is the best
  /// Sum of the qualities of all cells of all branches: of the best by what a search knows, its
  /// appeal made whole where the request asks for it.
  double qd_score = 0;
  double cells = 0, best = 0, feasible = 0;
  void exchange(State& state);
};

/// Everything feasible that a method ever scored counts for it.
class Recorder {
 public:
  Recorder(const Request& request, const SearchTask& task) : request_(request), task_(task) {}
  void add(const Find& find);
  Record take() const;

 private:
  const Request& request_;
  const SearchTask& task_;
  Record record_;
  GridArchive grid_{archive_cells};                   // numbers cells, holds nothing
  std::map<std::pair<int, int>, Find> best_of_cell_;  // by branch and cell
};

/// Mean over the numbers of panels of the share of the best-known front's hypervolume that a record
/// misses. `best`: the best-known front of each.
double measure_gap(const Record& record, const std::map<int, std::vector<Objectives>>& best);
/// The fronts of all records together.
std::map<int, std::vector<Objectives>> join_fronts(const std::vector<const Record*>& records);

}  // namespace sixtyfold::bench
