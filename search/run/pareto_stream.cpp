#include "search/run/pareto_stream.h"

#include <algorithm>

#include "engine/random.h"

namespace sixtyfold {
namespace {

constexpr std::uint64_t round_size = 1024, batch_size = 128;
constexpr double front_share = 0.72;  // of a batch

}  // namespace

ParetoStream::ParetoStream(const SearchTask& task, std::uint64_t number)
    : Stream(task),
      fronts_(task.branches, task.goals,
              RandomStream(task.seed, Purpose::choose, ~number).next() | 1),
      archives_(task.branches, RandomStream(task.seed, Purpose::propose, ~number).next() | 1) {}

void ParetoStream::run_round(Evaluator& evaluator, std::uint64_t rest) {
  for (auto left = std::min(round_size, rest); left > 0; left -= std::min(batch_size, left))
    run_batch(evaluator, static_cast<int>(std::min(batch_size, left)));
  kept_.add_curve_row(measure_share(task_.goals, fronts_.fronts()));
}

void ParetoStream::run_batch(Evaluator& evaluator, int size) {
  const int of_fronts = fronts_.can_ask() ? static_cast<int>(front_share * size) : 0;
  const BranchArchives archives = kept_.archives();
  const auto& asked = fronts_.ask(of_fronts);
  const auto& others = archives_.ask(size - of_fronts);
  const std::vector<Scored> scored = scorer_.score(
      evaluator, size,
      [&](int job) -> BranchPoint {
        if (job < of_fronts)
          return fronts_.make_point(asked[static_cast<std::size_t>(job)], archives);
        const ArchiveProposer::Asked& one = others[static_cast<std::size_t>(job - of_fronts)];
        return {one.branch, archives_.make_point(one, archives)};
      },
      nullptr);
  std::vector<double> are_new;  // of the others, whether they fill an empty cell
  for (int i = 0; i < size; ++i) {
    const Scored& one = scored[static_cast<std::size_t>(i)];
    const GridArchive& archive = *archives[static_cast<std::size_t>(one.branch)];
    const std::size_t before = archive.elites().size();
    kept_.take(one);
    if (i >= of_fronts) are_new.push_back(archive.elites().size() > before);
  }
  fronts_.tell(scored);
  archives_.tell(are_new);
}

Pool ParetoStream::make_pool() const {
  Pool pool = Stream::make_pool();
  for (const Front* front : fronts_.fronts())
    pool.finds.insert(pool.finds.end(), front->finds().begin(), front->finds().end());
  for (const Front& front : fronts_.fronts_of_branches())
    pool.finds.insert(pool.finds.end(), front.finds().begin(), front.finds().end());
  for (const Rungs& rungs : fronts_.rungs())
    pool.finds.insert(pool.finds.end(), rungs.finds().begin(), rungs.finds().end());
  return pool;
}

void ParetoStream::exchange(State& state) {
  Stream::exchange(state);
  state.exchange(fronts_);
  state.exchange(archives_);
}

}  // namespace sixtyfold
