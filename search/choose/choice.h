#pragma once
// From what the streams found to a ranking: near-duplicates dropped, each candidate confirmed by
// the independent inspection (engine/variant/inspection.h), ordered, and its place explained.

#include <string>
#include <vector>

#include "search/choose/judge.h"
#include "search/keep/pool.h"

namespace sixtyfold {

struct Candidate {
  Find find;
  Design design;
  Signature signature;
  std::vector<std::string> reasons;  ///< why it stands where it stands, one sentence each
  std::vector<std::string> why;  ///< what speaks for its looks and what against, where that counts
};

struct Choice {
  std::vector<Candidate> candidates;     ///< best first
  bool only_flexible = false;            ///< nothing rigid was found, so these move
  std::uint64_t considered = 0;          ///< finds to choose from
  std::uint64_t duplicates = 0;          ///< finds dropped because they look like a better one
  std::uint64_t not_going_together = 0;  ///< of the refused ones, for their hard steps alone
  std::vector<std::string> refused;  ///< one sentence for each find the independent check refused
};

/// Pools of the streams in their order. The result does not depend on the number of threads.
Choice choose_candidates(const SearchTask& task, const std::vector<Pool>& pools,
                         Evaluator& evaluator);
/// The same; what the judge knows already is not found out again.
Choice choose_candidates(const SearchTask& task, const std::vector<Pool>& pools, Judge& judge);

/// How far a candidate is trusted: unless the judge has inspected it and knows better, or when it
/// has been inspected and can be built.
enum class Trust { untested, inspected };

/// The first half of choose_candidates, in the order of choosing: finds that look unlike each
/// other, without their designs.
Choice find_candidates(const SearchTask& task, const std::vector<Pool>& pools, Judge& judge,
                       Trust trust);
/// The second half, for inspected candidates that can be built: designs, sheets, order and reasons.
void complete_candidates(const SearchTask& task, Judge& judge, Choice& choice);
/// The same search among what moves, as where only_flexible is set.
SearchTask make_movable(SearchTask task);
/// Why an inspected find is not listed; empty when it may be.
std::string find_fault(const SearchTask& task, Judge& judge, const Find& find);

/// Several pools as one: tallies added, curves added row by row, finds in order.
Pool merge_pools(const std::vector<Pool>& pools);

/// Sentences that say which limit ruled out how many variants and what the nearest miss was.
std::vector<std::string> explain_nothing_found(const SearchTask& task, const Tally& tally);

}  // namespace sixtyfold
