#pragma once
// Lists while a search goes on: for a page that is looked at meanwhile.
//
//   LiveList lists(run, evaluator, context, [&](const Choice& best) { ... });
//   run.go_on(evaluator, context, [&] { lists.after_round(); });

#include <atomic>
#include <functional>

#include "search/choose/choice.h"
#include "search/run/run.h"

namespace sixtyfold {

/// Promises:
/// 1. the first list comes after the first thousand variants of which any can be listed, with the
///    default groups on two cores within 0.3 s of the beginning, and names at most `first_count`
///    designs, as each costs time; then one when the run is twice as old, one each time it is four
///    times as old, and one after the round in which somebody asks;
/// 2. a list is what choose_candidates makes of all that the run keeps at that moment; what an
///    earlier list found out is not found out again;
/// 3. the run goes on as if no list had been made, and leaves the same pools; it waits for a list,
///    a tenth to a third of a second for a dozen designs;
/// 4. what it holds is what its last list looked at, however long the run.
class LiveList {
 public:
  static constexpr int first_count = 4;
  /// `show` is called by after_round, with lists that are not empty. All must live as long.
  LiveList(const Run& run, Evaluator& evaluator, const RunContext& context,
           std::function<void(const Choice&)> show);

  /// A list as soon as the round is over. From any thread.
  void ask() { is_asked_.store(true); }
  /// For Run::go_on, which calls it between rounds.
  void after_round();

 private:
  const Run& run_;
  const RunContext& context_;
  std::function<void(const Choice&)> show_;
  Judge judge_;
  std::atomic<bool> is_asked_{false};
  bool is_first_ = true;
  double next_s_ = 0;
};

}  // namespace sixtyfold
