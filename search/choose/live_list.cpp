#include "search/choose/live_list.h"

#include <algorithm>
#include <utility>

namespace sixtyfold {

LiveList::LiveList(const Run& run, Evaluator& evaluator, const RunContext& context,
                   std::function<void(const Choice&)> show)
    : run_(run), context_(context), show_(std::move(show)), judge_(evaluator) {}

void LiveList::after_round() {
  constexpr double growth = 4, growth_of_first = 2, growth_of_nothing = 1.5;
  const bool is_asked = is_asked_.exchange(false);
  if (!is_asked && context_.elapsed_s() < next_s_) return;
  judge_.forget();
  SearchTask task = run_.task();
  if (is_first_) task.count = std::min(task.count, first_count);
  const Choice choice = choose_candidates(task, run_.make_pools(), judge_);
  const bool is_empty = choice.candidates.empty();
  if (!is_empty) show_(choice);
  next_s_ = (is_empty    ? growth_of_nothing
             : is_first_ ? growth_of_first
                         : growth) *
            context_.elapsed_s();
  is_first_ = is_first_ && is_empty;
}

}  // namespace sixtyfold
