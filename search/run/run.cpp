#include "search/run/run.h"

#include <algorithm>

namespace sixtyfold {
namespace {

/// How many variants the time allows, by the speed so far.
std::uint64_t guess_rest(std::uint64_t done, double gone_s, double time_s) {
  constexpr double least = 1000, most = 1e15;  // not ever smaller rounds at the end
  if (done == 0 || !(gone_s > 0)) return static_cast<std::uint64_t>(most);
  const double rest = static_cast<double>(done) * (time_s - gone_s) / gone_s;
  return static_cast<std::uint64_t>(std::clamp(rest, least, most));
}

}  // namespace

struct Run::Inside {
  RunPlan plan;
  SearchTask task;
  int first_stream, last_stream;  ///< numbers from 0, last one past the end
  std::vector<Pool> done;
  std::unique_ptr<Stream> current;
  bool is_watched = false;
  StageTimes times;  ///< of the streams done

  explicit Inside(const RunPlan& plan_)
      : plan(plan_),
        task(make_task(plan_)),
        first_stream(plan_.shard > 0 ? plan_.shard - 1 : 0),
        last_stream(plan_.shard > 0 ? plan_.shard : plan_.streams) {}

  int stream() const { return first_stream + static_cast<int>(done.size()); }
  std::uint64_t find_budget(int stream_number) const {
    const auto streams = static_cast<std::uint64_t>(plan.streams);
    return plan.budget / streams +
           (static_cast<std::uint64_t>(stream_number) < plan.budget % streams ? 1 : 0);
  }
};

Run::Run(const RunPlan& plan) : inside_(std::make_unique<Inside>(plan)) {}
Run::~Run() = default;

EndReason Run::go_on(Evaluator& evaluator, RunContext& context,
                     const std::function<void()>& after_round) {
  Inside& in = *inside_;
  while (in.stream() < in.last_stream) {
    if (!in.current) in.current = make_stream(in.task, static_cast<std::uint64_t>(in.stream()));
    if (in.is_watched) in.current->watch_stages();
    // The time that is left is shared evenly by the streams that are left.
    const std::uint64_t budget = in.find_budget(in.stream());
    const double begin_s = context.elapsed_s();
    const double time_s = in.plan.time_limit_s > 0
                              ? (in.plan.time_limit_s - begin_s) / (in.last_stream - in.stream())
                              : 0;
    const auto evaluated = [&] { return in.current->tally().evaluated; };
    const std::uint64_t before = evaluated();
    while (!context.stop.load() && (budget == 0 || evaluated() < budget)) {
      std::uint64_t rest = budget > 0 ? budget - evaluated() : UINT64_MAX;
      if (in.plan.time_limit_s > 0) {
        const double gone_s = context.elapsed_s() - begin_s;
        if (gone_s >= time_s) break;
        rest = std::min(rest, guess_rest(evaluated() - before, gone_s, time_s));
      }
      in.current->run_round(evaluator, rest);
      after_round();
    }
    if (context.stop.load()) return EndReason::stopped;
    in.done.push_back(in.current->make_pool());
    in.times.add(in.current->stage_times());
    in.current.reset();
  }
  const bool is_time_up = in.plan.time_limit_s > 0 && context.elapsed_s() >= in.plan.time_limit_s;
  return in.plan.budget == 0 || is_time_up ? EndReason::time_up : EndReason::budget_spent;
}

const SearchTask& Run::task() const { return inside_->task; }

Tally Run::tally() const {
  Tally tally;
  for (const Pool& pool : inside_->done) tally.add(pool.tally);
  if (inside_->current) tally.add(inside_->current->tally());
  return tally;
}

double Run::best_quality() const {
  double best = 0;
  for (const Pool& pool : inside_->done)
    if (!pool.curve.empty()) best = std::max(best, pool.curve.back().best);
  if (inside_->current && !inside_->current->curve().empty())
    best = std::max(best, inside_->current->curve().back().best);
  return best;
}

std::vector<Pool> Run::make_pools() const {
  std::vector<Pool> pools = inside_->done;
  if (inside_->current) pools.push_back(inside_->current->make_pool());
  return pools;
}

void Run::watch_stages() { inside_->is_watched = true; }

StageTimes Run::stage_times() const {
  StageTimes times = inside_->times;
  if (inside_->current) times.add(inside_->current->stage_times());
  return times;
}

void Run::exchange(State& state) {
  Inside& in = *inside_;
  state.exchange(in.done);
  bool is_running = in.current != nullptr;
  state.exchange(is_running);
  if (!is_running) return;
  if (state.reading()) in.current = make_stream(in.task, static_cast<std::uint64_t>(in.stream()));
  state.exchange(*in.current);
}

}  // namespace sixtyfold
