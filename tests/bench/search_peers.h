#pragma once
// Methods from the literature, wired to the same evaluator, to stand beside the search.

#include <functional>
#include <string>
#include <utility>
#include <vector>

#include "tests/bench/search_requests.h"

namespace sixtyfold::bench {

/// Scores points of one request one after another and keeps the record.
class Meter {
 public:
  Meter(const Request& request, const SearchTask& task, std::uint64_t budget)
      : recorder_(request, task), request_(request), task_(task), left_(budget) {}
  bool is_over() const { return left_ == 0; }
  std::uint64_t left() const { return left_; }
  Outcome score(const BranchPoint& at);
  Record take() const { return recorder_.take(); }
  const SearchTask& task() const { return task_; }
  const Request& request() const { return request_; }

 private:
  Recorder recorder_;
  const Request& request_;
  const SearchTask& task_;
  std::uint64_t left_;
  VariantWorkspace work_;
  Draft draft_;
  Variant variant_;
};

/// A random branch, a random point.
void run_random(Meter& meter, std::uint64_t seed);
/// MAP-Elites (Mouret and Clune 2015) with the line operator of Vassiliades and Mouret 2018 and
/// their two widths: the same cells as the search's, of all branches together, a random elite and
/// another of its branch.
void run_map_elites(Meter& meter, std::uint64_t seed);
/// CMA-ME with improvement emitters (Fontaine, Togelius, Nikolaidis and Hoover 2020): 15 emitters
/// of 36 points, each from a random elite on and within its branch, restarted when they find
/// nothing. Covariance matrix adaptation after Hansen 2016.
void run_cma_me(Meter& meter, std::uint64_t seed);
/// MOME (Pierrot, Richard, Beguir and Cully 2022): a front of up to 50 in each cell, a random cell
/// and a random one of its front, the line operator. For several criteria.
void run_mome(Meter& meter, std::uint64_t seed);
/// pagmo2 (Biscani and Izzo 2020): NSGA-II and MOEA/D. One more variable chooses the branch;
/// infeasible variants are worse than all feasible ones, by their violation; they see the criteria
/// on the scales by which they are measured. For several criteria.
void run_nsga2(Meter& meter, std::uint64_t seed);
void run_moead(Meter& meter, std::uint64_t seed);

}  // namespace sixtyfold::bench
