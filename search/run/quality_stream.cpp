#include "search/run/quality_stream.h"

#include <algorithm>
#include <cmath>

#include "engine/random.h"
#include "search/propose/refine.h"

namespace sixtyfold {
namespace {

constexpr std::uint64_t round_size = 1024, batch_size = 128;
constexpr double gain_memory = 0.987;  // of the largest gain, a batch
constexpr std::size_t refined_at_once = 8, starts_of_branch = 4;

}  // namespace

QualityStream::QualityStream(const SearchTask& task, std::uint64_t number)
    : Stream(task),
      proposer_(task.branches, RandomStream(task.seed, Purpose::propose, ~number).next() | 1) {}

void QualityStream::run_round(Evaluator& evaluator, std::uint64_t rest) {
  // Half of the refiner's share as it comes due, so that there is something worth showing at any
  // moment; the other half at the end, when it is known which are the best.
  const auto evaluated = static_cast<double>(tally().evaluated);
  const auto left = static_cast<double>(rest), spent = static_cast<double>(spent_refining_);
  const double next = static_cast<double>(refined_at_once) * task_.refine_evaluations;
  const bool is_due = spent + next <= task_.refine_share / 2 * evaluated;
  const bool is_end = spent + left <= task_.refine_share * (evaluated + left);
  const bool refines = (is_due || is_end) && refine_some(evaluator, rest);
  if (!refines)
    for (auto some = std::min(round_size, rest); some > 0; some -= std::min(batch_size, some))
      explore(evaluator, std::min(batch_size, some));
  kept_.add_curve_row(0);
}

void QualityStream::explore(Evaluator& evaluator, std::uint64_t count) {
  const BranchArchives archives = kept_.archives();
  const auto& asked = proposer_.ask(static_cast<int>(count));
  const std::vector<Scored> scored = scorer_.score(
      evaluator, static_cast<int>(count),
      [&](int job) {
        const ArchiveProposer::Asked& one = asked[static_cast<std::size_t>(job)];
        return BranchPoint{one.branch, proposer_.make_point(one, archives)};
      },
      &archives);
  std::vector<double> gains;
  for (const Scored& one : scored) gains.push_back(kept_.take(one));
  // Rewards are shares of the best gain of late, so that a choice that wears out is left.
  gain_scale_ = std::max(gain_memory * gain_scale_, *std::max_element(gains.begin(), gains.end()));
  if (gain_scale_ > 0)
    for (double& gain : gains) gain /= gain_scale_;
  proposer_.tell(gains);
}

std::vector<Find> QualityStream::find_starts(std::size_t most) const {
  struct Start {
    int branch;
    const Trial* elite;
    std::size_t place;
  };
  const auto is_better = [](const Start& x, const Start& y) {
    return x.elite->outcome.quality > y.elite->outcome.quality;
  };
  std::vector<Start> starts;
  const BranchArchives archives = kept_.archives();
  for (std::size_t b = 0; b < archives.size(); ++b) {
    const auto first = static_cast<std::ptrdiff_t>(starts.size());
    for (const Trial& elite : archives[b]->elites())
      starts.push_back({static_cast<int>(b), &elite, 0});
    std::stable_sort(starts.begin() + first, starts.end(), is_better);
    for (auto i = static_cast<std::size_t>(first); i < starts.size(); ++i)
      starts[i].place = (i - static_cast<std::size_t>(first)) / starts_of_branch;
  }
  std::stable_sort(starts.begin(), starts.end(), [&](const Start& x, const Start& y) {
    return x.place != y.place ? x.place < y.place : is_better(x, y);
  });
  std::vector<std::vector<const Find*>> refined_in(archives.size());
  for (const Find& find : refined_)
    refined_in[static_cast<std::size_t>(find.branch)].push_back(&find);
  std::vector<Find> chosen;
  for (const Start& start : starts) {
    if (chosen.size() >= most) break;
    const std::vector<const Find*>& done = refined_in[static_cast<std::size_t>(start.branch)];
    if (std::none_of(done.begin(), done.end(), [&](const Find* find) {
          return find->point == start.elite->point && find->outcome == start.elite->outcome;
        }))
      chosen.push_back({start.branch, start.elite->point, start.elite->outcome});
  }
  return chosen;
}

bool QualityStream::refine_some(Evaluator& evaluator, std::uint64_t most) {
  // Fewer evaluations when no more are left.
  const auto evaluations = static_cast<int>(
      std::min<std::uint64_t>(static_cast<std::uint64_t>(task_.refine_evaluations), most));
  const std::vector<Find> chosen = find_starts(
      std::min<std::size_t>(refined_at_once, most / static_cast<std::uint64_t>(evaluations)));
  if (chosen.empty()) return false;
  std::vector<std::vector<Scored>> results(chosen.size());
  std::vector<UnitPoint> ends(chosen.size());
  std::vector<Scorer::Workspace>& spaces = scorer_.prepare(evaluator);
  evaluator.run(static_cast<int>(chosen.size()), [&](int job, int worker) {
    const auto j = static_cast<std::size_t>(job);
    Scorer::Workspace& space = spaces[static_cast<std::size_t>(worker)];
    const int branch = chosen[j].branch;
    const auto value = [&](const UnitPoint& point) {
      const Outcome outcome = evaluate(task_, task_.branches[static_cast<std::size_t>(branch)],
                                       point, space.work, space.draft, space.variant);
      results[j].push_back({branch, {point, outcome}, space.variant.status});
      return outcome.feasible() ? -outcome.quality : 10 + outcome.violation;
    };
    RefineOptions options;
    options.evaluations = evaluations;
    ends[j] = refine(value, chosen[j].point, options).point;
  });
  for (std::size_t i = 0; i < chosen.size(); ++i) {
    refined_.push_back(chosen[i]);
    for (const Scored& step : results[i]) {
      kept_.take(step);
      ++spent_refining_;
      if (step.trial.point == ends[i])
        refined_.push_back({step.branch, step.trial.point, step.trial.outcome});
    }
  }
  return true;
}

void QualityStream::exchange(State& state) {
  Stream::exchange(state);
  state.exchange(proposer_);
  state.exchange(gain_scale_);
  state.exchange(refined_);
  state.exchange(spent_refining_);
}

}  // namespace sixtyfold
