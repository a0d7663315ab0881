#include "search/run/run.h"

#include <algorithm>

namespace sixtyfold {

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
    if (!in.current)
      in.current = std::make_unique<Stream>(in.task, static_cast<std::uint64_t>(in.stream()));
    if (in.is_watched) in.current->watch_stages();
    // The time that is left is shared evenly by the streams that are left.
    StreamEnd end;
    end.budget = in.find_budget(in.stream());
    end.start_s = context.elapsed_s();
    if (in.plan.time_limit_s > 0)
      end.time_s = (in.plan.time_limit_s - end.start_s) / (in.last_stream - in.stream());
    run_stream(*in.current, in.task, end, evaluator, context, after_round);
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
  if (state.reading())
    in.current = std::make_unique<Stream>(in.task, static_cast<std::uint64_t>(in.stream()));
  state.exchange(*in.current);
}

}  // namespace sixtyfold
